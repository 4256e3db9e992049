//! What the checks say, and whether it is about the book as it is now.

use std::sync::Arc;

use crimpbook_workbook::{
    analysis::Snapshot,
    check::{Finding, Level, Mend, Report},
    model::{Cavity, End, Id, Key, Wire},
};

use crate::screen::{
    action::Mending,
    ask::{Answer, Question, answer},
    computed::Computed,
};

/// All findings of one generation of the book.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// Counts the books that were asked about.
    pub generation: u64,
    /// What was computed last; none while it is computed for the first time.
    pub computed: Option<Arc<Computed>>,
    /// Whether the checks run now, so that what was computed last is of an older book.
    pub running: bool,
    /// Whether what was computed last is but the list, with figures of the book before.
    pub listed: bool,
    /// Whether the book has changed since what was computed last.
    pub stale: bool,
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
            .and_then(|c| c.snapshot.as_deref())
    }
}

/// The gravest open finding at one of these places.
pub fn gravest(model: &super::Model, places: impl IntoIterator<Item = Key>) -> Option<&Finding> {
    model.findings.computed.as_ref()?.gravest(places)
}

/// The gravest open finding at a cavity or at a wire that ends in it.
pub fn gravest_at_cavity(model: &super::Model, cavity: Id<Cavity>) -> Option<&Finding> {
    let wires = model.book.index().wires_at_cavity.get(&cavity);
    let wires = wires.into_iter().flatten().map(|(wire, _)| Key::of(*wire));
    gravest(model, std::iter::once(Key::of(cavity)).chain(wires))
}

/// The gravest open finding at a wire or at a cavity, splice or stud that it ends at.
pub fn gravest_at_wire(model: &super::Model, wire: Id<Wire>) -> Option<&Finding> {
    let ends = model.book.get(wire).map(|w| [w.from, w.to]);
    let ends = ends.into_iter().flatten().filter_map(|end| match end {
        End::Cavity(id) => Some(Key::of(id)),
        End::Junction(id) => Some(Key::of(id)),
        End::Free => None,
    });
    gravest(model, std::iter::once(Key::of(wire)).chain(ends))
}

/// The mend of a finding as far as it is known; one that was not tried with the others is asked for when the cursor comes
/// to it.
pub fn mend<'a>(model: &'a super::Model, finding: &'a Finding) -> Option<&'a Mend> {
    match tried_for_itself(model, finding) {
        Some(mend) => mend,
        None => finding.mend.as_ref(),
    }
}

fn tried_for_itself<'a>(model: &'a super::Model, finding: &Finding) -> Option<Option<&'a Mend>> {
    let question = Question::Mend(finding.check, finding.place().filter(|_| finding.untried)?);
    match answer(model, question)? {
        Answer::Mend(mend) => Some(mend.as_ref()),
        _ => None,
    }
}

/// What can be done about a finding by a key.
pub fn mending(model: &super::Model, finding: &Finding) -> Mending {
    match mend(model, finding) {
        _ if finding.untried && tried_for_itself(model, finding).is_none() => Mending::Untried,
        _ if model.findings.stale => Mending::Running,
        _ if !model.findings.computed.as_ref().is_some_and(|c| c.tried) => Mending::Untried,
        None => Mending::None,
        Some(mend) if mend.edit().is_some() => Mending::Ready,
        Some(_) => Mending::Words,
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
