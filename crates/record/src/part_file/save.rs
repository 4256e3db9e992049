//! A unit of a workbook as a part file.

use std::collections::{BTreeMap, BTreeSet};

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{
        Cavity, Connector, Decision, Driver, Expression, Id, Junction, Key, Part, PartKind, RecordLists, Row,
        Setting, Switch, Terminal, Unit,
    },
};

use super::{FORMAT, PartFile, PartFileError, behaviour::leave_out, remap::remap};

/// The part file of a unit. `about`: where its figures come from.
///
/// # Errors
/// The unit is gone, or one of its inside parts hangs on something outside of it.
pub fn save(book: &Book, unit: Id<Unit>, about: &str) -> Result<PartFile, PartFileError> {
    let gone = || PartFileError("this unit is not in the workbook any more".to_owned());
    let row = book.get(unit).ok_or_else(gone)?;
    let mut records = RecordLists {
        units: vec![Unit {
            zone: None,
            serial: String::new(),
            firmware: String::new(),
            supply_note: String::new(),
            ..row.clone()
        }],
        connectors: of_label(book, |c: &Connector| c.unit == unit),
        junctions: of_label(book, |j: &Junction| j.unit == Some(unit)),
        parts: of_label(book, |p: &Part| p.unit == unit),
        switches: of_label(book, |s: &Switch| s.unit == Some(unit)),
        expressions: of_label(book, |e: &Expression| e.unit == unit),
        settings: of_label(book, |s: &Setting| s.unit == unit),
        ..RecordLists::default()
    };
    let own: BTreeSet<Id<Connector>> = records.connectors.iter().map(|c| c.id).collect();
    for connector in &mut records.connectors {
        connector.couples_to = connector.couples_to.filter(|id| own.contains(id));
    }
    for connector in &records.connectors {
        let mut cavities: Vec<&Cavity> = book.cavities_of(connector.id);
        cavities.order_by(|c| natural(&c.number));
        records.cavities.extend(cavities.into_iter().map(bare));
    }
    for junction in &mut records.junctions {
        junction.zone = None;
        junction.place.clear();
    }
    let families: BTreeSet<_> = records.cavities.iter().filter_map(|c| c.contact).collect();
    records.contact_families = of_label(book, |f| {
        families.contains(&crimpbook_workbook::model::ContactFamily::id(f))
    });
    let fuses: BTreeSet<_> = records
        .parts
        .iter()
        .filter_map(|p| match p.kind {
            PartKind::FuseWay { fuse } => Some(fuse),
            _ => None,
        })
        .collect();
    records.fuses = of_label(book, |f| fuses.contains(&crimpbook_workbook::model::Fuse::id(f)));
    for fuse in &mut records.fuses {
        fuse.zone = None;
        fuse.feeds.clear();
    }
    let own: BTreeSet<Id<Cavity>> = records.cavities.iter().map(|c| c.id).collect();
    for setting in &mut records.settings {
        // What it was turned to and what was measured is of this vehicle; a new unit is as it comes.
        setting.value.clone_from(&setting.default_value);
        setting.note.clear();
        setting.cavities.retain(|id| own.contains(id));
    }
    add_switches(book, &mut records);
    let left_out = leave_out(book, &mut records);
    clear_units(&mut records);
    whole(book, unit, &records)?;
    number(&mut records);
    Ok(PartFile {
        crimpbook_part: FORMAT,
        title: row.name.clone(),
        about: about.trim().to_owned(),
        left_out,
        records,
    })
}

fn of_label<R: Row>(book: &Book, of: impl Fn(&R) -> bool) -> Vec<R> {
    let mut rows: Vec<R> = book.all::<R>().values().filter(|row| of(row)).cloned().collect();
    rows.order_by(|row| natural(row.label()));
    rows
}

/// A cavity without what one vehicle decided of it.
fn bare(cavity: &Cavity) -> Cavity {
    Cavity {
        decision: Decision::Undecided,
        why: String::new(),
        plug: false,
        ..cavity.clone()
    }
}

/// Switches that move its contacts belong to it, though the book has them in no unit.
fn add_switches(book: &Book, records: &mut RecordLists) {
    let moved: BTreeSet<Id<Switch>> = records
        .parts
        .iter()
        .filter_map(|p| match &p.kind {
            PartKind::Contact {
                driver: Driver::Switch { switch, .. },
                ..
            } => Some(*switch),
            _ => None,
        })
        .collect();
    let known: BTreeSet<Id<Switch>> = records.switches.iter().map(|s| s.id).collect();
    records.switches.extend(of_label(book, |s: &Switch| {
        moved.contains(&s.id) && !known.contains(&s.id)
    }));
}

/// A switch of another unit is of none here.
fn clear_units(records: &mut RecordLists) {
    for switch in &mut records.switches {
        switch.unit = switch
            .unit
            .filter(|unit| records.units.iter().any(|u| u.id == *unit));
    }
}

/// Refuses a unit that is not whole by itself.
fn whole(book: &Book, unit: Id<Unit>, records: &RecordLists) -> Result<(), PartFileError> {
    for part in &records.parts {
        let outside = part.ends.iter().find(|end| match end {
            Terminal::Junction(id) => !records.junctions.iter().any(|j| j.id == *id),
            _ => false,
        });
        let driver = match &part.kind {
            PartKind::Contact {
                driver: Driver::Coil { part: coil },
                ..
            } if !records.parts.iter().any(|p| p.id == *coil) => Some(book.label_of(*coil)),
            _ => None,
        };
        if let Some(what) = outside.map(|end| book.terminal_name(end)).or(driver) {
            return Err(PartFileError(format!(
                "{} hangs on {what}, which is not of {}; a part file holds one unit that is whole by itself",
                part.label,
                book.label_of(unit)
            )));
        }
    }
    Ok(())
}

/// Short ids in the order of the file, so that the same unit always gives the same file.
fn number(records: &mut RecordLists) {
    let keys: BTreeMap<Key, u128> = (1..)
        .zip(records.clone().into_records())
        .map(|(n, record)| (record.key(), n))
        .collect();
    remap(records, &|key| keys.get(&key).copied());
}

impl PartFile {
    /// The file as text: fields that say nothing are left out.
    pub fn text(&self) -> String {
        let words = |text: &str| serde_json::to_string(text).unwrap_or_default();
        let left_out: Vec<String> = self.left_out.iter().map(|text| words(text)).collect();
        let left_out = if left_out.is_empty() {
            String::new()
        } else {
            format!("  \"left_out\": [\n    {}\n  ],\n", left_out.join(",\n    "))
        };
        format!(
            "{{\n  \"crimpbook_part\": {},\n  \"title\": {},\n  \"about\": {},\n{left_out}  \"records\": {}\n}}\n",
            self.crimpbook_part,
            words(&self.title),
            words(&self.about),
            crate::json::rows(&self.records)
        )
    }
}
