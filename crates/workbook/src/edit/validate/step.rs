//! Build steps done, and readings.

use super::figure::Figures;
use super::{Refusal, bad};
use crate::{
    Book,
    model::{Built, Key, Reading, StepDone},
};

/// A step of one thing is answered for once; a second answer replaces the first.
pub(super) fn check(book: &Book, row: &StepDone) -> Result<(), Refusal> {
    let thing = match row.of {
        Built::Wire(wire) | Built::End { wire, .. } => Key::of(wire),
        Built::Connector(id) => Key::of(id),
        Built::Junction(id) => Key::of(id),
    };
    let steps = book.index().users_of(thing).iter();
    let twin = steps
        .filter_map(|user| book.get(user.as_id::<StepDone>()?))
        .any(|other| other.id != row.id && other.of == row.of && other.step == row.step);
    if twin {
        let problem = format!(
            "{} of {} is answered for already; take that back or change it",
            row.step.words(),
            book.name_of(thing)
        );
        return bad(book, row, problem);
    }
    Ok(())
}

pub(super) fn reading(book: &Book, row: &Reading) -> Result<(), Refusal> {
    if row.measure.trim().is_empty() {
        return bad(book, row, "says not in what it was measured; give V, Ω or A");
    }
    Figures { book, row }.order(
        ("least expected", row.expected_least),
        ("most expected", row.expected_most),
        "",
    )
}
