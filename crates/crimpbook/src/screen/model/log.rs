//! The Log: the entries shown, and one of them in detail.

use crimpbook_record::compare;
pub use crimpbook_record::compare::{Comparison, Difference};
use crimpbook_workbook::{
    log::{Entry, EntryHead, EntryKind},
    model::ChangeId,
};

use super::{
    Model,
    kept::{Kept, Rows},
    sieve::{By, List, Sieve, arrange},
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
    /// The places of the heads listed, and what they were arranged from.
    pub kept: Kept<From>,
}

/// How many heads there are and the id of the last, which tells them from others; whether ticks are among them; the order.
type From = (usize, Option<ChangeId>, bool, Sieve);

/// An entry in detail.
#[derive(Debug, Clone)]
pub struct Detail {
    /// Its place in the log.
    pub seq: u64,
    /// In a comparison: the entry after which it begins.
    pub since: Option<u64>,
    /// The other workbook that this one is compared with, as it was typed.
    pub other: Option<String>,
    /// What is told, line by line; none while it is being read.
    pub lines: Option<Vec<Difference>>,
    /// First line shown.
    pub from: usize,
}

/// The heads listed, the newest first or in the order chosen.
pub fn listed(model: &Model) -> Rows<'_, EntryHead> {
    let heads = &model.heads;
    let sieve = model.sieves.of(List::Log);
    let from = (
        heads.len(),
        heads.last().map(|head| head.id),
        model.log.ticks,
        sieve.clone(),
    );
    let places = model
        .log
        .kept
        .places(from, || arranged(heads, model.log.ticks, &sieve));
    Rows::new(heads, places)
}

fn arranged(heads: &[EntryHead], ticks: bool, sieve: &Sieve) -> Vec<usize> {
    let tick = |kind| matches!(kind, EntryKind::Progress | EntryKind::Reading | EntryKind::Trial);
    let all = heads.iter().enumerate().rev();
    let mut rows: Vec<(usize, &EntryHead)> = all.filter(|(_, head)| ticks || !tick(head.kind)).collect();
    let said = |(_, head): &(usize, &EntryHead)| {
        let revision = head.revision.as_deref().unwrap_or_default();
        let kind = head.kind.words();
        format!(
            "{} {kind} {} {} {revision} {}",
            head.title, head.why, head.who, head.seq
        )
    };
    arrange(sieve, &mut rows, said, |(_, head), by| match by {
        1 => By::words(&head.who),
        _ => By::words(head.kind.words()),
    });
    rows.into_iter().map(|(place, _)| place).collect()
}

/// What an entry changed, field by field.
pub fn differences(model: &Model, entry: &Entry) -> Vec<Difference> {
    compare::differences(&model.book, &entry.changes)
}

/// A comparison line by line: each record by name, its fields, then its whys.
pub fn told(comparison: Comparison) -> Vec<Difference> {
    let mut lines = Vec::new();
    for changed in comparison.changed {
        let mut fields = changed.fields;
        if let Some(first) = fields.first_mut() {
            first.record = changed.name;
        }
        lines.extend(fields);
        lines.extend(changed.whys.into_iter().map(|is| Difference {
            key: changed.key,
            record: String::new(),
            field: "why".to_owned(),
            was: String::new(),
            is,
        }));
    }
    lines
}
