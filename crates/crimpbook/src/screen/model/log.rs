//! The Log: the entries shown, and one of them in detail.

use crimpbook_record::compare;
pub use crimpbook_record::compare::{Difference, net};
use crimpbook_workbook::log::{Entry, EntryHead, EntryKind};

use super::Model;

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

/// What an entry changed, field by field.
pub fn differences(model: &Model, entry: &Entry) -> Vec<Difference> {
    compare::differences(&model.book, &entry.changes)
}
