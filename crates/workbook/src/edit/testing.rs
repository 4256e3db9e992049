//! Helpers of the door's tests.

use super::{Change, Edit, Refusal, Stamp};
use crate::{
    Book,
    log::Entry,
    model::{Id, Row},
};

/// A stamp of one's own; `n` tells entries apart.
pub(crate) fn stamp(n: u128) -> Stamp {
    Stamp {
        id: Id::from_bits(n),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).expect("a moment"),
        who: "A.".to_owned(),
    }
}

/// The change of one record.
pub(crate) fn changed<R: Row>(book: &Book, id: Id<R>, change: impl FnOnce(&mut R)) -> Change {
    let before = book.get(id).expect("a record of the bench").clone();
    let mut after = before.clone();
    change(&mut after);
    Change::replace(before, after)
}

/// Passes an edit of the plan through the door.
pub(crate) fn design(book: &Book, changes: Vec<Change>) -> Result<Entry, Refusal> {
    book.prepare(Edit::design("a change", changes), stamp(1))
}

/// Prepares and applies.
pub(crate) fn apply(book: &mut Book, edit: Edit, n: u128) -> Entry {
    let entry = book.prepare(edit, stamp(n)).unwrap_or_else(|r| panic!("{r}"));
    book.apply(&entry).expect("it was just prepared");
    entry
}
