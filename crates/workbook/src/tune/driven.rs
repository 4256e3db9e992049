//! What a trial was driven with, and what was turned since the one before.

use crate::{
    Book,
    book::{InOrder, natural},
    model::{AsDriven, Id, Setting, Trial},
};

/// A setting that stands elsewhere in one trial than in another. None: it was not noted there.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// The setting.
    pub setting: Id<Setting>,
    /// Unit and label (`MC REGEN_COAST_MAX`).
    pub name: String,
    /// What it was, with its unit.
    pub was: String,
    /// What it is, with its unit.
    pub is: String,
}

impl Turned {
    /// In one line (`MC REGEN_COAST_MAX 18 % → 10 %`).
    pub fn words(&self) -> String {
        format!("{} {} → {}", self.name, self.was, self.is)
    }
}

/// Every setting as it is now, in the order of their names.
pub fn as_driven(book: &Book) -> Vec<AsDriven> {
    let mut all: Vec<AsDriven> = book
        .all::<Setting>()
        .values()
        .map(|s| AsDriven {
            setting: s.id,
            unit: book.label_of(s.unit),
            label: s.label.clone(),
            value: s.value.clone(),
            measure: s.measure.clone(),
        })
        .collect();
    all.order_by(|s| (natural(&s.unit), natural(&s.label)));
    all
}

/// Trials from the first to the last.
pub fn trials_in_order(book: &Book) -> Vec<&Trial> {
    let mut trials: Vec<&Trial> = book.all::<Trial>().values().collect();
    trials.order_by(|t| (t.at, t.id));
    trials
}

/// The trial before this one.
pub fn before<'a>(book: &'a Book, trial: &Trial) -> Option<&'a Trial> {
    trials_in_order(book)
        .into_iter()
        .rfind(|t| (t.at, t.id) < (trial.at, trial.id))
}

/// Settings whose value differs; one that is noted in only one of the two says nothing.
pub fn turned(was: &[AsDriven], is: &[AsDriven]) -> Vec<Turned> {
    is.iter()
        .filter_map(|now| {
            let then = was.iter().find(|then| then.setting == now.setting)?;
            ((&then.value, &then.measure) != (&now.value, &now.measure)).then(|| Turned {
                setting: now.setting,
                name: now.name(),
                was: then.shown(),
                is: now.shown(),
            })
        })
        .collect()
}

/// What was turned between a trial and the one before it.
pub fn changed_for(book: &Book, trial: &Trial) -> Vec<Turned> {
    before(book, trial).map_or_else(Vec::new, |last| turned(&last.settings, &trial.settings))
}
