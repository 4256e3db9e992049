//! Entries one after the other, into the records they make.

use crimpbook_workbook::{
    json,
    log::{ENTRY_SCHEMA, Entry},
    model::{Record, Tables},
};

use crate::error::Trouble;

/// Applies an entry to tables, record by record.
///
/// # Errors
/// A record is not as the entry found it.
pub(crate) fn apply(tables: &mut Tables, seq: u64, entry: Entry) -> Result<(), Trouble> {
    let broken = |what: &str| {
        Err(Trouble::Damaged(format!(
            "entry {seq} of the log (\"{}\") {what}",
            entry.title
        )))
    };
    for change in &entry.changes {
        let Some(key) = change.key() else {
            return broken("names no record");
        };
        if tables.get_ref(key) != change.before.as_ref().map(Record::as_ref) {
            return broken("does not follow from those before it");
        }
    }
    for change in entry.changes {
        match (change.key(), change.after) {
            (_, Some(after)) => tables.put(after),
            (Some(key), None) => tables.remove(key),
            (None, None) => {}
        }
    }
    Ok(())
}

/// Reads an entry from its body.
///
/// # Errors
/// It is of a newer program, or no entry.
pub(crate) fn entry(seq: u64, body: &str) -> Result<Entry, Trouble> {
    let entry: Entry = json::read(body).map_err(|misfit| Trouble::Row {
        place: format!("entry {seq} of the log"),
        problem: misfit.error.to_string(),
    })?;
    if entry.schema > ENTRY_SCHEMA {
        return Err(Trouble::Row {
            place: format!("entry {seq} of the log"),
            problem: format!(
                "it is written in form {}, this program knows up to {ENTRY_SCHEMA}",
                entry.schema
            ),
        });
    }
    Ok(entry)
}
