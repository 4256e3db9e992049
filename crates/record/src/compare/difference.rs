//! Changes field by field.

use std::collections::BTreeSet;

use crimpbook_workbook::{
    Book,
    edit::Change,
    model::{Key, Record, Tables},
};

use serde_json::Value;

use super::{
    Fields, fields,
    value::{field_words, figure, of_field},
};

/// One field that differs, or a record that is made or removed whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The record.
    pub key: Key,
    /// What it is called, on its first line only.
    pub record: String,
    /// The field; empty for a record that is made or removed whole.
    pub field: String,
    /// What it was.
    pub was: String,
    /// What it is.
    pub is: String,
}

/// What `changes` change, field by field. `book` names the records that values point at.
///
/// What is gone by now is named as it was before it went.
pub fn differences(book: &Book, changes: &[Change]) -> Vec<Difference> {
    let gone = changes
        .iter()
        .filter_map(|change| change.before.as_ref())
        .filter(|before| !book.tables().has(before.key()));
    let mut tables = None;
    for before in gone {
        let tables: &mut Tables = tables.get_or_insert_with(|| book.tables().clone());
        if !tables.has(before.key()) {
            tables.put(before.clone());
        }
    }
    let with_gone = tables.map(|tables| Book::from_tables(tables, None));
    let book = with_gone.as_ref().unwrap_or(book);
    let mut lines = Vec::new();
    for change in changes {
        let Some(key) = change.key() else { continue };
        let mut record = name(book, change, key);
        let (was, is) = (flat(change.before.as_ref()), flat(change.after.as_ref()));
        if change.before.is_none() || change.after.is_none() {
            let made = change.before.is_none();
            lines.push(Difference {
                key,
                record: std::mem::take(&mut record),
                field: String::new(),
                was: if made { "" } else { "was there" }.to_owned(),
                is: if made { "made" } else { "removed" }.to_owned(),
            });
        }
        let names: BTreeSet<&String> = was.keys().chain(is.keys()).collect();
        for name in names {
            let show = |fields: &Fields| {
                let value = fields.get(name);
                value
                    .map(|value| of_field(book, key.kind, name, value))
                    .unwrap_or_default()
            };
            let (before, after) = (show(&was), show(&is));
            if before != after && name != "id" {
                lines.push(Difference {
                    key,
                    record: std::mem::take(&mut record),
                    field: field_words(name),
                    was: before,
                    is: after,
                });
            }
        }
    }
    lines
}

/// A record that is gone is named as it was in the change.
fn name(book: &Book, change: &Change, key: Key) -> String {
    let record = change.after.as_ref().or(change.before.as_ref());
    match record.map_or("", |record| record.label()) {
        "" => book.name_of(key),
        label => format!("{} {label}", key.kind.title()),
    }
}

/// A record's fields; what a manual states of a cavity figure by figure, and figures with their unit. What a step or reading
/// rested on is the book's own keeping.
pub(super) fn flat(record: Option<&Record>) -> Fields {
    let mut flat = fields(record);
    if let Some(Value::Object(limits)) = flat.remove("limits") {
        flat.extend(limits);
    }
    flat.remove("rested_on");
    let (measured, unit): (&[&str], &str) = match record {
        Some(Record::Setting(setting)) => (&["value", "default_value", "least", "most"], &setting.measure),
        Some(Record::Reading(reading)) => (&["value", "expected_least", "expected_most"], &reading.measure),
        _ => (&[], ""),
    };
    for name in measured {
        let Some(value) = flat.get_mut(*name) else {
            continue;
        };
        let words = match &*value {
            Value::String(text) => text.clone(),
            Value::Number(_) => figure(value),
            _ => String::new(),
        };
        if !words.is_empty() {
            *value = Value::String(format!("{words} {unit}").trim_end().to_owned());
        }
    }
    flat
}
