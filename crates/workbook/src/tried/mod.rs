//! What an edit would cost, before it is kept: the book as it is beside the book as it would be.
//!
//! Findings gained and lost, rules that are open again, build steps to redo, readings and acceptances that lapse, volts that
//! move. Nothing here changes anything: both books are snapshots, with their checks' reports.

mod rules;
#[cfg(test)]
mod tests;
mod volts;
mod words;

use crate::{
    Book,
    analysis::Snapshot,
    check::{CannotCheck, Finding, Report},
    model::{Acceptance, Reading, StepDone},
};

pub use rules::{Proofs, Reopened};
pub use volts::{MOVES_V, Moved};
pub use words::Block;

/// A snapshot with what the checks say of it.
#[derive(Debug, Clone, Copy)]
pub struct Judged<'a> {
    /// The book with its figures.
    pub see: &'a Snapshot,
    /// What the checks say.
    pub report: &'a Report,
}

/// What changes of a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// As it was before.
    pub was: Finding,
    /// As it would be.
    pub is: Finding,
}

/// What an edit would cost.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Cost {
    /// Findings that come.
    pub gained: Vec<Finding>,
    /// Findings that go.
    pub lost: Vec<Finding>,
    /// Findings that stay at another level, or that nobody accepts any more.
    pub weighed: Vec<Weighed>,
    /// What could be checked before and cannot then, in sentences.
    pub unchecked: Vec<String>,
    /// What could not be checked and can then.
    pub checked: Vec<String>,
    /// Rules.
    pub rules: Proofs,
    /// Build steps to be redone: which, and why.
    pub redo: Vec<(String, String)>,
    /// Build steps of what goes.
    pub gone: usize,
    /// Readings that no longer count: where, and why.
    pub readings: Vec<(String, String)>,
    /// Accepted findings that are open again: of which check, and why.
    pub acceptances: Vec<(String, String)>,
    /// Voltages that move, those that move most first.
    pub volts: Vec<Moved>,
    /// States that have a solution before or then only.
    pub states: Vec<String>,
}

impl Cost {
    /// What leads from one to the other.
    pub fn of(before: Judged<'_>, after: Judged<'_>) -> Self {
        let (old, new) = (before.see.book(), after.see.book());
        let mut cost = Self {
            rules: Proofs::between(before.see, after.see),
            volts: volts::moved(before.see, after.see),
            states: volts::states(before.see, after.see),
            ..Self::default()
        };
        cost.findings(before.report, after.report);
        let said = |of: &[CannotCheck], book: &Book| -> Vec<String> {
            of.iter().map(|cannot| cannot.sentence(book)).collect()
        };
        let (was, is) = (
            said(&before.report.cannot_check, old),
            said(&after.report.cannot_check, new),
        );
        cost.unchecked = is.iter().filter(|one| !was.contains(one)).cloned().collect();
        cost.checked = was.into_iter().filter(|one| !is.contains(one)).collect();
        cost.lapsed(old, new);
        cost
    }

    fn findings(&mut self, before: &Report, after: &Report) {
        // Rules that are proven on one side only: what is known of them is told by `rules`.
        let proven = before.unproven == 0 && after.unproven == 0;
        let counts = |finding: &&Finding| proven || finding.check != "rule-broken";
        let mut left: Vec<&Finding> = before.all().filter(counts).collect();
        for finding in after.all().filter(counts) {
            let same = |old: &&Finding| old.check == finding.check && old.places == finding.places;
            let first = |old: &&Finding| old.check == finding.check && old.place() == finding.place();
            let at = left.iter().position(same).or_else(|| left.iter().position(first));
            match at {
                None => self.gained.push(finding.clone()),
                Some(at) => {
                    let old = left.remove(at);
                    let accepted = old.is_accepted() && !finding.is_accepted();
                    if old.level != finding.level || accepted {
                        self.weighed.push(Weighed {
                            was: old.clone(),
                            is: finding.clone(),
                        });
                    }
                }
            }
        }
        self.lost = left.into_iter().cloned().collect();
    }

    fn lapsed(&mut self, old: &Book, new: &Book) {
        for done in old.all::<StepDone>().values() {
            match new.get(done.id) {
                None => self.gone += 1,
                Some(now) if done.redo.is_none() => self.redo.extend(
                    now.redo
                        .clone()
                        .map(|why| (format!("{}: {}", new.built_name(done.of), done.step.words()), why)),
                ),
                Some(_) => {}
            }
        }
        for reading in old.all::<Reading>().values().filter(|r| r.lapsed.is_none()) {
            let place = || {
                let state = reading.state.map(|s| format!(" in {}", old.label_of(s)));
                format!(
                    "{}{}",
                    old.cavity_name(reading.at_cavity),
                    state.unwrap_or_default()
                )
            };
            match new.get(reading.id) {
                None => self.readings.push((place(), "its cavity goes".to_owned())),
                Some(now) => self.readings.extend(now.lapsed.clone().map(|why| (place(), why))),
            }
        }
        for accepted in old.all::<Acceptance>().values().filter(|a| a.lapsed.is_none()) {
            let why = new.get(accepted.id).and_then(|now| now.lapsed.clone());
            self.acceptances.extend(why.map(|why| {
                let at = accepted.places.first().map(|key| old.name_of(*key));
                (format!("{} at {}", accepted.check, at.unwrap_or_default()), why)
            }));
        }
    }

    /// Whether nothing at all follows.
    pub fn is_nothing(&self) -> bool {
        *self
            == Self {
                rules: self.rules.clone(),
                ..Self::default()
            }
            && self.rules.is_same()
    }
}
