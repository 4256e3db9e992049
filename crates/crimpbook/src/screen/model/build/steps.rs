//! The steps of an item, in working order, and how each stands.

use crimpbook_workbook::{
    Book,
    model::{Id, StepDone},
    plan::{Standing, StepOf, of_connector, of_junction, of_piece, of_wire, task},
};

use super::Item;

/// A step and how it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepAt {
    /// Which step, and what it is done to.
    pub step: StepOf,
    /// How it stands.
    pub standing: Standing,
    /// The answer given, if there is one.
    pub answer: Option<Id<StepDone>>,
}

/// The steps of an item as planned.
pub fn planned(book: &Book, item: Item) -> Vec<StepOf> {
    match item {
        Item::Wire(id) => of_wire(book, id),
        Item::Junction(id) => of_junction(book, id),
        Item::Connector(id) => of_connector(book, id),
        Item::Piece(piece) => of_piece(book, piece),
    }
}

/// The steps of an item and how they stand.
pub fn steps(book: &Book, item: Item) -> Vec<StepAt> {
    planned(book, item)
        .into_iter()
        .map(|step| {
            let task = task(book, step);
            StepAt {
                step,
                standing: task.standing,
                answer: task.answer.map(|a| a.id),
            }
        })
        .collect()
}

/// A mark that does not hang on colour.
pub fn mark(standing: Standing) -> &'static str {
    match standing {
        Standing::Open => "·",
        Standing::Done => "✓",
        Standing::Failed => "✗",
        Standing::Skipped => "–",
        Standing::Redo => "!",
    }
}
