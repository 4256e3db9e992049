//! Releasing for building, and temporary links, which stand in its way.

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
/// None of its own; the door refuses it while a temporary link stands.
pub fn release(book: &Book, why: &str) -> Result<Edit, Refusal> {
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
/// It is not said what it is, or why; the door refuses ends that are gone.
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
    if link.words.is_empty() || link.why.is_empty() {
        return Err(Refusal::invalid(
            "a temporary link",
            None,
            "needs what it is (a bridge, a lamp for F6) and a why, since the next person finds it in the vehicle",
        ));
    }
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
