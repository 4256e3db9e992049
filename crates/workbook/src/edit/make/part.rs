//! Inside parts.

use super::{Change, Edit, Refusal, cannot, need, only_meaning};
use crate::{Book, model::Part};

/// Adds an inside part.
///
/// # Errors
/// Its name means something else in expressions; figures and ends are the door's matter.
pub fn add_part(book: &Book, part: Part) -> Result<Edit, Refusal> {
    only_meaning(book, None, &part)?;
    let title = format!(
        "{}: {} of {} added",
        part.label,
        part.kind.words(),
        book.label_of(part.unit)
    );
    Ok(Edit::design(title, vec![Change::make(part)]))
}

/// Puts an inside part in place of the one with its id.
///
/// # Errors
/// As [`add_part`]; it is gone; nothing is changed.
pub fn change_part(book: &Book, part: Part) -> Result<Edit, Refusal> {
    let before = need(book, part.id)?;
    if part == *before {
        return Err(cannot(book, part.id, "is so already; nothing to change"));
    }
    only_meaning(book, Some(before), &part)?;
    let title = format!("{} {} changed", before.kind.words(), before.label);
    Ok(Edit::design(title, vec![Change::replace(before.clone(), part)]))
}
