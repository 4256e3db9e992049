//! Rows and log entries into the file, inside a transaction of the caller.

use rusqlite::{Connection, params, params_from_iter, types::Value as Cell};

use crimpbook_workbook::{
    json,
    log::{Entry, Hash, link},
    model::{Key, Record},
};

use crate::{
    error::Trouble,
    load::{self, Head},
    map::{self, Plan},
};

/// The plan of a record's kind.
pub(crate) fn plan_of(key: Key) -> Result<&'static Plan, Trouble> {
    map::plan(key.kind).ok_or_else(|| Trouble::CannotHold(format!("no table for a {}", key.kind.title())))
}

/// Puts a record in, in place of one with the same key, and makes sure that it reads back as it is.
pub(crate) fn put(db: &Connection, record: &Record) -> Result<(), Trouble> {
    let key = record.key();
    let plan = plan_of(key)?;
    let id = key.id.to_string();
    let cells = map::cells(plan, record).map_err(Trouble::CannotHold)?;
    db.prepare_cached(&plan.upsert)?
        .execute(params_from_iter(cells.row))?;
    for (list, rows) in plan.lists.iter().zip(cells.lists) {
        db.prepare_cached(&list.delete)?.execute([&id])?;
        let mut insert = db.prepare_cached(&list.insert)?;
        for (place, row) in (0..).zip(rows) {
            let owner = [Cell::Text(id.clone()), Cell::Integer(place)];
            insert.execute(params_from_iter(owner.into_iter().chain(row)))?;
        }
    }
    if load::record(db, plan, &id)?.as_ref() == Some(record) {
        Ok(())
    } else {
        Err(Trouble::CannotHold(format!(
            "the {} {id} does not read back as it was written",
            key.kind.title()
        )))
    }
}

/// Removes a record.
pub(crate) fn remove(db: &Connection, key: Key) -> Result<(), Trouble> {
    let plan = plan_of(key)?;
    let id = key.id.to_string();
    for list in &plan.lists {
        db.prepare_cached(&list.delete)?.execute([&id])?;
    }
    db.prepare_cached(&plan.delete)?.execute([&id])?;
    Ok(())
}

/// Adds an entry after `head`; gives the new head.
pub(crate) fn log(db: &Connection, head: Head, entry: &Entry) -> Result<Head, Trouble> {
    let body = entry.canonical();
    if json::read::<Entry>(&body).ok().as_ref() != Some(entry) {
        return Err(Trouble::CannotHold(format!(
            "the entry \"{}\" does not read back from its JSON",
            entry.title
        )));
    }
    let hash: Hash = link(head.hash, &body);
    let seq = head.seq + 1;
    let kind = serde_json::to_value(entry.kind).unwrap_or_default();
    let at = serde_json::to_value(entry.at).unwrap_or_default();
    db.prepare_cached(
        "INSERT INTO log (seq, id, at, who, kind, title, why, of, revision, hash, body)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    )?
    .execute(params![
        seq,
        entry.id.to_string(),
        at.as_str(),
        entry.who,
        kind.as_str(),
        entry.title,
        entry.why,
        entry.of.map(|id| id.to_string()),
        entry.revision,
        hash.to_string(),
        body,
    ])?;
    Ok(Head { seq, hash })
}
