//! Releasing for building, and the temporary links that stand in the way.

use super::{Change, Edit, Refusal, need};
use crate::{
    Book,
    log::{EntryKind, next_letter},
    model::{End, Id, IdMaker, TemporaryLink},
};
use chrono::{DateTime, Utc};

/// Releases the plan for building, under the next letter. From then on a change of a cavity or wire needs its why.
///
/// # Errors
/// A temporary link still stands.
pub fn release(book: &Book, why: &str) -> Result<Edit, Refusal> {
    if let Some(link) = book.all::<TemporaryLink>().values().next() {
        let count = book.all::<TemporaryLink>().len();
        let more = if count > 1 {
            format!(" and {} more", count - 1)
        } else {
            String::new()
        };
        return Err(Refusal::invalid(
            "the plan",
            None,
            format!(
                "cannot be released while a temporary link stands: {} from {} to {}{more}; take it out first",
                link.words,
                book.end_name(link.from),
                book.end_name(link.to)
            ),
        ));
    }
    let letter = next_letter(book.revision());
    let mut edit = Edit::new(
        EntryKind::Release,
        format!("revision {letter} released for building"),
        Vec::new(),
    );
    edit.revision = Some(letter);
    Ok(edit.because(why))
}

/// Puts in a temporary link: a bridge, lamp or terminator for a test.
///
/// # Errors
/// None of its own; the door refuses ends that are gone.
pub fn add_link(
    book: &Book,
    ids: &mut IdMaker,
    (from, to): (End, End),
    words: &str,
    why: &str,
    at: DateTime<Utc>,
) -> Result<Edit, Refusal> {
    let link = TemporaryLink {
        id: ids.make(),
        from,
        to,
        words: words.trim().to_owned(),
        why: why.trim().to_owned(),
        at,
    };
    let title = format!(
        "temporary: {} from {} to {}",
        link.words,
        book.end_name(from),
        book.end_name(to)
    );
    Ok(Edit::design(title, vec![Change::make(link)]).because(why))
}

/// Takes a temporary link out.
///
/// # Errors
/// It is gone already.
pub fn remove_link(book: &Book, link: Id<TemporaryLink>) -> Result<Edit, Refusal> {
    let before = need(book, link)?;
    let title = format!("temporary: {} taken out", before.words);
    Ok(Edit::design(title, vec![Change::remove(before.clone())]))
}
