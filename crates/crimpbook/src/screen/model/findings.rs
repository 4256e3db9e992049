//! What the checks say, and whether it is about the book as it is now.

use std::sync::Arc;

use crimpbook_workbook::check::{Level, Report};

/// All findings of one generation of the book.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// Counts the books that were asked about.
    pub generation: u64,
    /// What the checks said last; none while they run for the first time.
    pub report: Option<Arc<Report>>,
    /// Whether the checks run now, so that the report is of an older book.
    pub running: bool,
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
