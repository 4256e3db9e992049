//! What the checks say, and whether it is about the book as it is now.

use std::sync::Arc;

use crimpbook_workbook::{
    analysis::Snapshot,
    check::{Level, Report},
};

use crate::screen::computed::Computed;

/// All findings of one generation of the book.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// Counts the books that were asked about.
    pub generation: u64,
    /// What was computed last; none while it is computed for the first time.
    pub computed: Option<Arc<Computed>>,
    /// Whether the checks run now, so that what was computed last is of an older book.
    pub running: bool,
}

impl Findings {
    /// What the checks said last.
    pub fn report(&self) -> Option<&Report> {
        self.computed.as_ref().map(|c| &c.report)
    }

    /// What was computed of the book as it is now; none while that is on its way.
    pub fn current(&self) -> Option<&Snapshot> {
        self.computed
            .as_ref()
            .filter(|_| !self.running)
            .and_then(|c| c.snapshot.as_ref())
    }
}

/// A mark for a level that does not hang on colour.
pub fn mark(level: Level) -> &'static str {
    match level {
        Level::Stop => "■",
        Level::Warning => "▲",
        Level::Note => "·",
    }
}

/// `■ 2 stops, ▲ 1 warning …`: mark, number and word of each, the gravest first.
pub fn counts(report: &Report) -> Vec<(&'static str, usize, &'static str)> {
    let word = |n: usize, one, many| if n == 1 { one } else { many };
    let (stops, warnings) = (report.open_stops(), report.open_warnings());
    let accepted = report.findings.iter().filter(|f| f.is_accepted()).count();
    vec![
        (mark(Level::Stop), stops, word(stops, "stop", "stops")),
        (
            mark(Level::Warning),
            warnings,
            word(warnings, "warning", "warnings"),
        ),
        ("?", report.cannot_check.len(), "cannot check"),
        (
            mark(Level::Note),
            report.notes.len(),
            word(report.notes.len(), "note", "notes"),
        ),
        ("○", accepted, "accepted"),
    ]
}
