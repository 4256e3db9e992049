//! The Log: the entries shown, and one of them in detail.

use std::collections::HashMap;

use crimpbook_workbook::{
    edit::Change,
    log::{Entry, EntryHead, EntryKind},
    model::{Key, Kind},
};

use super::{
    Model,
    describe::{Fields, fields, words},
};

/// State of the Log.
#[derive(Debug, Clone, Default)]
pub struct Log {
    /// The row the cursor is on, the newest is 0.
    pub at: usize,
    /// Whether build steps, readings and trials are listed.
    pub ticks: bool,
    /// The entry after which a comparison begins, while its end is being chosen.
    pub from: Option<u64>,
    /// An entry in detail, with how far it is scrolled.
    pub detail: Option<Detail>,
}

/// An entry in detail.
#[derive(Debug, Clone)]
pub struct Detail {
    /// Its place in the log.
    pub seq: u64,
    /// In a comparison: the entry after which it begins.
    pub since: Option<u64>,
    /// The whole entry, or all changes of a comparison; none while it is being read.
    pub entry: Option<Box<Entry>>,
    /// First line shown.
    pub from: usize,
}

/// The heads listed, newest first.
pub fn listed(model: &Model) -> Vec<&EntryHead> {
    model
        .heads
        .iter()
        .rev()
        .filter(|head| {
            model.log.ticks
                || !matches!(
                    head.kind,
                    EntryKind::Progress | EntryKind::Reading | EntryKind::Trial
                )
        })
        .collect()
}

/// What entries one after the other come to: each record as it was before the first and as it is after the last.
/// Build steps, readings and trials are left out unless they are listed.
pub fn net(entries: &[Entry], ticks: bool) -> Vec<Change> {
    let mut order: Vec<Key> = Vec::new();
    let mut by_key: HashMap<Key, Change> = HashMap::new();
    for change in entries.iter().flat_map(|e| &e.changes) {
        let Some(key) = change.key() else { continue };
        if !ticks && matches!(key.kind, Kind::StepDone | Kind::Reading | Kind::Trial) {
            continue;
        }
        match by_key.get_mut(&key) {
            Some(known) => known.after.clone_from(&change.after),
            None => {
                order.push(key);
                by_key.insert(key, change.clone());
            }
        }
    }
    order
        .into_iter()
        .filter_map(|key| by_key.remove(&key))
        .filter(|change| change.before != change.after)
        .collect()
}

/// One line of an entry in detail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The record, on its first line only.
    pub record: String,
    /// The field; empty for a record that is made or removed whole.
    pub field: String,
    /// What it was.
    pub was: String,
    /// What it is.
    pub is: String,
}

/// What an entry changed, field by field.
pub fn differences(model: &Model, entry: &Entry) -> Vec<Difference> {
    let mut lines = Vec::new();
    for change in &entry.changes {
        let Some(key) = change.key() else { continue };
        // A record that is gone is named as it was in the entry.
        let label = change
            .after
            .as_ref()
            .or(change.before.as_ref())
            .map_or("", |record| record.label());
        let mut record = if label.is_empty() {
            model.book.name_of(key)
        } else {
            format!("{} {label}", key.kind.title())
        };
        let (was, is) = (fields(change.before.as_ref()), fields(change.after.as_ref()));
        if change.before.is_none() || change.after.is_none() {
            let made = change.before.is_none();
            lines.push(Difference {
                record: std::mem::take(&mut record),
                field: String::new(),
                was: if made {
                    String::new()
                } else {
                    "was there".to_owned()
                },
                is: if made { "made" } else { "removed" }.to_owned(),
            });
        }
        let names: std::collections::BTreeSet<&String> = was.keys().chain(is.keys()).collect();
        for name in names {
            let show = |fields: &Fields| {
                fields
                    .get(name)
                    .map(|value| words(model, value))
                    .unwrap_or_default()
            };
            let (before, after) = (show(&was), show(&is));
            if before != after && name != "id" {
                lines.push(Difference {
                    record: std::mem::take(&mut record),
                    field: name.replace('_', " "),
                    was: before,
                    is: after,
                });
            }
        }
    }
    lines
}
