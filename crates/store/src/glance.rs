//! What is seen of a file before its records are read: names and counts.

use rusqlite::Connection;

use crimpbook_workbook::log::EntryHead;

use crate::{
    error::{StoreError, Trouble},
    load,
    open::{Begun, as_damage},
};

/// How many of the last changes are seen.
const CHANGES: usize = 8;

/// What is seen of a file at a glance, all of one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Glance {
    /// The vehicle's name.
    pub vehicle: String,
    /// How many wires there are.
    pub wires: usize,
    /// The connectors, in no order.
    pub connectors: Vec<ConnectorGlance>,
    /// The last changes of the plan, the newest first.
    pub changes: Vec<EntryHead>,
}

/// A connector at a glance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ConnectorGlance {
    /// Its label.
    pub label: String,
    /// How many cavities it has.
    pub cavities: usize,
    /// Of these decided.
    pub decided: usize,
}

impl Begun {
    /// Looks at it without reading its records.
    ///
    /// # Errors
    /// It is damaged where it is looked at, or held by another process.
    pub fn glance(&self) -> Result<Glance, StoreError> {
        let at = |trouble: Trouble| trouble.at(&self.path, "reading it");
        glance(&self.db).map_err(as_damage).map_err(at)
    }
}

fn glance(db: &Connection) -> Result<Glance, Trouble> {
    let moment = db.unchecked_transaction()?;
    let vehicle = moment.query_row("SELECT coalesce(max(vehicle), '') FROM about", [], |row| {
        row.get(0)
    })?;
    let wires = moment.query_row("SELECT count(*) FROM wires", [], |row| row.get(0))?;
    let connectors = connectors(&moment)?;
    let changes = load::heads_by(
        &moment,
        &format!("WHERE kind NOT IN ('progress', 'reading') ORDER BY seq DESC LIMIT {CHANGES}"),
    )?;
    moment.finish()?;
    Ok(Glance {
        vehicle,
        wires,
        connectors,
        changes,
    })
}

fn connectors(db: &Connection) -> Result<Vec<ConnectorGlance>, Trouble> {
    // One walk over the cavities in the order they lie in.
    let mut statement = db.prepare(
        "SELECT label, coalesce(n, 0), coalesce(decided, 0) FROM connectors LEFT JOIN (
           SELECT connector, count(*) AS n, sum(decision <> 'undecided') AS decided FROM cavities NOT INDEXED GROUP BY connector
         ) ON connector = id",
    )?;
    let rows = statement.query_map([], |row| {
        Ok(ConnectorGlance {
            label: row.get(0)?,
            cavities: row.get(1)?,
            decided: row.get(2)?,
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        Store,
        error::Cause,
        tests::samples::{Place, entry, make, zone},
    };

    #[test]
    fn a_glance_tells_what_the_records_do() {
        let place = Place::new();
        let path = place.made_and_closed();
        let mut opened = Store::open(&path).unwrap();
        for n in 2..12 {
            opened
                .store
                .commit(&entry(n, vec![make(zone(n + 10, &format!("zone {n}")))]))
                .unwrap();
        }
        opened.store.close().unwrap();
        let begun = Store::begin(&path).unwrap();
        let glance = begun.glance().unwrap();
        let titles: Vec<&str> = glance.changes.iter().map(|head| head.title.as_str()).collect();
        assert_eq!(titles.len(), CHANGES);
        assert_eq!(titles.first().zip(titles.last()), Some((&"entry 11", &"entry 4")));
        assert_eq!((glance.wires, glance.connectors.len()), (0, 0));
        let opened = begun.read().unwrap();
        assert_eq!(opened.heads.last(), glance.changes.first());
        opened.store.close().unwrap();
    }

    #[test]
    fn looking_writes_nothing_and_damage_is_said() {
        let place = Place::new();
        let path = place.made_and_closed();
        let before = std::fs::read(&path).unwrap();
        drop(Store::begin(&path).unwrap().glance().unwrap());
        assert_eq!(std::fs::read(&path).unwrap(), before);
        let mut spoilt = before;
        spoilt[4096..].fill(0xaa);
        std::fs::write(&path, &spoilt).unwrap();
        let refused = Store::begin(&path).and_then(|begun| begun.glance()).unwrap_err();
        assert_eq!(refused.cause, Cause::Damaged, "{refused}");
        assert_eq!(std::fs::read(&path).unwrap(), spoilt);
    }
}
