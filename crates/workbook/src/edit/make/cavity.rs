//! Deciding cavities.

use super::{Change, Edit, Refusal, cannot, need};
use crate::{
    Book,
    model::{Cavity, Decision, End, Id},
};

/// Decides one or several cavities in the same way. A blank or reserved one of a sealed connector gets a plug on the list,
/// a wired one loses it. `why` stays with each cavity and with the edit.
///
/// # Errors
/// None is given, one is gone, all are decided so already, or a wire ends at one that would be left empty.
pub fn decide(book: &Book, cavities: &[Id<Cavity>], decision: Decision, why: &str) -> Result<Edit, Refusal> {
    let mut changes = Vec::new();
    for id in cavities {
        let before = need(book, *id)?;
        let wire = book.index().wires_at_cavity.of(id).first();
        if let (Some((wire, _)), Decision::Blank | Decision::Reserved | Decision::NotOurs) = (wire, decision)
        {
            let problem = format!(
                "cannot be {}: wire {} ends there; move the wire first",
                decision.words(),
                book.label_of(*wire)
            );
            return Err(cannot(book, *id, problem));
        }
        let after = decided(book, before, decision, why);
        if after != *before {
            changes.push(Change::replace(before.clone(), after));
        }
    }
    let Some(first) = cavities.first() else {
        return Err(Refusal::invalid(
            "a decision",
            None,
            "names no cavity; mark one first",
        ));
    };
    if changes.is_empty() {
        return Err(cannot(book, *first, format!("is {} already", decision.words())));
    }
    let title = format!("{}: {}", several(book, cavities), decision.words());
    Ok(Edit::design(title, changes).because(why))
}

/// Bridges two cavities of a connector. The one with a wire stays wired and the other gets what it has; where neither has
/// one, each names the other.
///
/// # Errors
/// One is gone; both have wires.
pub fn bridge(book: &Book, a: Id<Cavity>, b: Id<Cavity>, why: &str) -> Result<Edit, Refusal> {
    let mut changes = Vec::new();
    for (one, other) in [(a, b), (b, a)] {
        let before = need(book, one)?;
        if !book.index().wires_at_cavity.contains_key(&one) {
            let after = decided(book, before, Decision::Bridged { to: other }, why);
            changes.push(Change::replace(before.clone(), after));
        }
    }
    if changes.is_empty() {
        let problem = format!(
            "and {} both have wires; a bridge needs one of them free",
            book.cavity_name(b)
        );
        return Err(cannot(book, a, problem));
    }
    let title = format!("{} bridged to {}", book.cavity_name(a), book.cavity_name(b));
    Ok(Edit::design(title, changes).because(why))
}

fn decided(book: &Book, before: &Cavity, decision: Decision, why: &str) -> Cavity {
    let sealed = book.get(before.connector).is_some_and(|c| c.sealed == Some(true));
    let mut after = before.clone();
    after.decision = decision;
    if !why.trim().is_empty() {
        why.trim().clone_into(&mut after.why);
    }
    match decision {
        Decision::Blank | Decision::Reserved if sealed => after.plug = true,
        Decision::Wired => after.plug = false,
        _ => {}
    }
    after
}

/// `MC-A5`, or `MC-A5 and 6 more`.
fn several(book: &Book, cavities: &[Id<Cavity>]) -> String {
    match cavities {
        [] => String::new(),
        [one] => book.cavity_name(*one),
        [first, rest @ ..] => format!("{} and {} more", book.cavity_name(*first), rest.len()),
    }
}

/// The changes that decide an undecided cavity as wired, since a wire now ends there.
pub fn now_wired(book: &Book, end: End) -> Option<Change> {
    let End::Cavity(id) = end else { return None };
    let before = book.get(id)?;
    (before.decision == Decision::Undecided)
        .then(|| Change::replace(before.clone(), decided(book, before, Decision::Wired, "")))
}

/// The change that sends a wired cavity back to undecided, since its last wire leaves.
pub fn no_longer_wired(book: &Book, end: End) -> Option<Change> {
    let End::Cavity(id) = end else { return None };
    let before = book.get(id)?;
    let last = book.index().wires_at_cavity.of(&id).len() <= 1;
    let mut after = before.clone();
    after.decision = Decision::Undecided;
    (before.decision == Decision::Wired && last).then(|| Change::replace(before.clone(), after))
}
