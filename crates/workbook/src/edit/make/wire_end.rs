//! Moving an end of a wire.

use super::cavity::{no_longer_wired, now_wired};
use super::wire::check_end;
use super::{Change, Edit, Refusal, cannot, need};
use crate::{
    Book,
    model::{End, Id, Wire, WireEnd},
};

/// Moves an end. The cavity it leaves is undecided again if no other wire ends there; an undecided one that it comes to is
/// decided as wired.
///
/// # Errors
/// The wire or the new place is gone, or the end is there already.
pub fn move_end(book: &Book, wire: Id<Wire>, which: WireEnd, to: End) -> Result<Edit, Refusal> {
    let before = need(book, wire)?;
    check_end(book, to)?;
    let mut after = before.clone();
    let place = match which {
        WireEnd::From => &mut after.from,
        WireEnd::To => &mut after.to,
    };
    let old = std::mem::replace(place, to);
    if old == to {
        return Err(cannot(book, wire, format!("is at {} already", book.end_name(to))));
    }
    let title = format!(
        "{}: moved from {} to {}",
        before.label,
        book.end_name(old),
        book.end_name(to)
    );
    let mut changes = vec![Change::replace(before.clone(), after)];
    changes.extend(no_longer_wired(book, old));
    changes.extend(now_wired(book, to));
    Ok(Edit::design(title, changes))
}
