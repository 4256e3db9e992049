//! The steps of the first run.

use crate::{
    Book,
    model::{FirstRun, FirstRunStep},
};

/// How a step was gone through last.
pub fn gone_through(book: &Book, step: FirstRunStep) -> Option<&FirstRun> {
    let all = book.all::<FirstRun>().values();
    all.filter(|row| row.step == step)
        .max_by_key(|row| (row.at, row.id))
}

/// Steps that nobody has gone through yet, in order.
pub fn open_steps(book: &Book) -> Vec<FirstRunStep> {
    FirstRunStep::ALL
        .iter()
        .copied()
        .filter(|step| gone_through(book, *step).is_none())
        .collect()
}
