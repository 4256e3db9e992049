//! A check that lacks an input says so.

use crate::{Book, model::Key, question::Ask};

/// What cannot be checked until a fact is entered. One a fact, however many checks want it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CannotCheck {
    /// Stable names of the checks that want it.
    pub checks: Vec<&'static str>,
    /// The unit, load or other record the fact belongs to.
    pub place: Key,
    /// What is missing, in words.
    pub missing: String,
    /// The fields that would tell it; none: a person has to look at the place.
    pub asks: Vec<Ask>,
}

impl CannotCheck {
    /// In a sentence.
    pub fn sentence(&self, book: &Book) -> String {
        format!(
            "cannot check: missing {} at {}",
            self.missing,
            book.name_of(self.place)
        )
    }
}
