//! Twisted and shielded pairs.

use super::cavity::now_wired;
use super::wire::check_end;
use super::{Change, Edit, Refusal, WireDraft, label::next_labels};
use crate::{
    Book,
    model::{Id, IdMaker, Wire},
};

/// Adds both wires of a pair at once.
///
/// # Errors
/// The pair has no name or is there already; an end is gone.
pub fn add_pair(book: &Book, ids: &mut IdMaker, pair: &str, wires: [WireDraft; 2]) -> Result<Edit, Refusal> {
    let pair = pair.trim();
    if pair.is_empty() {
        return Err(Refusal::invalid("a pair", None, "has no name; give it one"));
    }
    let taken = book
        .all::<Wire>()
        .values()
        .filter(|w| w.pair.eq_ignore_ascii_case(pair))
        .count();
    if taken > 0 {
        return Err(Refusal::invalid(
            format!("pair {pair}"),
            None,
            "is there already; choose another name",
        ));
    }
    let mut labels = next_labels::<Wire>(book, "W", 2).into_iter();
    let mut changes: Vec<Change> = Vec::new();
    let mut named = Vec::new();
    for mut draft in wires {
        let next = labels.next().unwrap_or_default();
        let label = match draft.label.trim() {
            "" => next,
            label => label.to_owned(),
        };
        for end in [draft.from, draft.to] {
            check_end(book, end)?;
            let change = now_wired(book, end);
            changes.extend(change.filter(|c| !changes.contains(c)));
        }
        pair.clone_into(&mut draft.pair);
        named.push(label.clone());
        changes.push(Change::make(draft.row(ids.make(), label)));
    }
    Ok(Edit::design(
        format!("pair {pair}: {}", named.join(" and ")),
        changes,
    ))
}

/// The wires of a wire's pair, itself first; itself alone if it belongs to none.
pub fn pair_of(book: &Book, wire: Id<Wire>) -> Vec<Id<Wire>> {
    let name = book.get(wire).map_or("", |w| w.pair.as_str());
    let mut all = vec![wire];
    if !name.is_empty() {
        let others = book.all::<Wire>().values();
        all.extend(
            others
                .filter(|w| w.id != wire && w.pair.eq_ignore_ascii_case(name))
                .map(|w| w.id),
        );
    }
    all
}
