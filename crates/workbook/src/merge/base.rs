//! The records as the changes in common left them.

use std::collections::BTreeSet;

use serde_json::{Map, Value};

use super::Side;
use crate::{
    log::Entry,
    model::{ChangeId, Kind, Record, Tables},
};

/// The base, as this copy's log tells it.
///
/// Where the common changes are the beginning of the log this is exactly what stood there. Where own changes lie between
/// them, each common change is applied to the fields that it touched.
pub(super) fn of(side: &Side<'_>, common: &BTreeSet<ChangeId>) -> Tables {
    let mut tables = Tables::default();
    for (entry, _) in side.log {
        take(&mut tables, entry, common);
    }
    tables
}

fn take(tables: &mut Tables, entry: &Entry, common: &BTreeSet<ChangeId>) {
    if !common.contains(&entry.id) {
        // Own: but what a merge of one's own brought in may be in common.
        for brought in entry.merged.iter().flat_map(|merged| merged.read()) {
            take(tables, &brought, common);
        }
        return;
    }
    for change in &entry.changes {
        let Some(key) = change.key() else { continue };
        match (&change.before, &change.after) {
            (_, None) => tables.remove(key),
            (None, Some(after)) => tables.put(after.clone()),
            (Some(before), Some(after)) => {
                let now = tables.get(key);
                match now {
                    Some(now) if now != *before => {
                        tables.put(touched(&now, before, after).unwrap_or_else(|| after.clone()));
                    }
                    _ => tables.put(after.clone()),
                }
            }
        }
    }
}

/// `now` with the fields that differ between `before` and `after`.
fn touched(now: &Record, before: &Record, after: &Record) -> Option<Record> {
    let (mut fields, before, after) = (fields(now)?, fields_or_none(before), fields_or_none(after));
    for (name, value) in &after {
        if before.get(name) != Some(value) {
            fields.insert(name.clone(), value.clone());
        }
    }
    record(now.key().kind, fields)
}

fn fields_or_none(record: &Record) -> Map<String, Value> {
    fields(record).unwrap_or_default()
}

/// The fields of a record.
pub(super) fn fields(record: &Record) -> Option<Map<String, Value>> {
    match serde_json::to_value(record).ok()? {
        Value::Object(whole) => match whole.into_iter().next()?.1 {
            Value::Object(fields) => Some(fields),
            _ => None,
        },
        _ => None,
    }
}

/// A record of these fields.
pub(super) fn record(kind: Kind, fields: Map<String, Value>) -> Option<Record> {
    let name = serde_json::to_value(kind).ok()?.as_str()?.to_owned();
    let mut whole = Map::new();
    whole.insert(name, Value::Object(fields));
    crate::json::read_value(&Value::Object(whole)).ok()
}
