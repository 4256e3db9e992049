//! Bringing two copies of one workbook together, field by field.
//!
//! What both logs hold is the set of change ids in common; the records as those changes left them are the base that both
//! copies are held against. A field that only one of them changed takes that change. A conflict is the same field with two
//! values, a reference that leads nowhere, or a label, cavity, build step or revision letter taken twice: it waits for a
//! person's choice, and until every one has its choice nothing is written. Merging in either direction gives the same
//! records, and merging again changes nothing.

mod base;
mod choice;
mod clash;
mod dangling;
mod ended;
mod fields;
mod redo;
mod side;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

pub use choice::{Choices, Conflict, Keeps};
pub use side::{Merged, Side};

use crate::{
    Book,
    edit::{Change, Edit, Refusal},
    log::EntryKind,
    model::{Key, Record, Tables},
};
use choice::Desk;

/// What merging comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The other copy has no change that this one lacks.
    Nothing,
    /// These wait for a choice; nothing is to be written.
    Undecided(Vec<Conflict>),
    /// The edit that brings the other copy in.
    Ready(Box<Edit>),
}

/// What lies between two copies, while a person chooses.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// Every conflict, and whose is kept where that is chosen; those of one record stand together.
    pub conflicts: Vec<(Conflict, Option<Keeps>)>,
    /// What the choices come to; what is not chosen yet stays as this copy has it.
    pub edit: Edit,
}

/// Brings `theirs` into `ours`.
///
/// # Errors
/// The two are not copies of one workbook; a choice names no conflict; together they do not hold.
pub fn merge(ours: &Side<'_>, theirs: &Side<'_>, choices: &Choices) -> Result<Outcome, Refusal> {
    let Some((desk, edit)) = held_together(ours, theirs, choices)? else {
        return Ok(Outcome::Nothing);
    };
    desk.decided()?;
    if let Some(open) = desk.undecided() {
        return Ok(Outcome::Undecided(open));
    }
    Ok(Outcome::Ready(Box::new(edit)))
}

/// Lays out what `theirs` would bring; none: nothing. A choice that names no conflict, or no longer, is passed over.
///
/// # Errors
/// The two are not copies of one workbook.
pub fn lay_out(ours: &Side<'_>, theirs: &Side<'_>, choices: &Choices) -> Result<Option<Laid>, Refusal> {
    let both = held_together(ours, theirs, choices)?;
    Ok(both.map(|(desk, edit)| Laid {
        conflicts: desk.laid(),
        edit,
    }))
}

fn held_together<'a>(
    ours: &'a Side<'a>,
    theirs: &'a Side<'a>,
    choices: &'a Choices,
) -> Result<Option<(Desk<'a>, Edit)>, Refusal> {
    let (mine, others) = (ours.ids(), theirs.ids());
    let common: BTreeSet<_> = mine.intersection(&others).copied().collect();
    if !ours.begins_as(theirs) {
        return Err(Refusal::invalid(
            "the other file",
            None,
            "is no copy of this workbook: their logs begin differently; to bring parts of it in, export and import them",
        ));
    }
    if others.is_subset(&mine) {
        return Ok(None);
    }
    let mut desk = Desk::new(choices, ours, theirs, &common);
    let bases = (base::of(ours, &common), base::of(theirs, &common));
    let mut merged = fields::merge(&mut desk, &bases);
    dangling::settle(&mut desk, &mut merged);
    clash::settle(&mut desk, &mut merged);
    ended::settle(&mut desk, &mut merged, &bases);
    // What was taken out to settle a clash may have been named by something.
    dangling::settle(&mut desk, &mut merged);
    let revision = desk.revision();
    redo::fall_back(&desk, &mut merged);
    let foreign = theirs.beyond(&mine);
    let count = foreign.len();
    let mut edit = Edit::new(
        EntryKind::Merge,
        title(count, theirs, &mine),
        changes(ours.book, &merged),
    );
    edit.why = desk.reasons().join("; ");
    edit.revision = revision.filter(|letter| ours.book.revision() != Some(letter));
    edit.merged = Some(Box::new(Merged {
        ours: ours.head.to_string(),
        theirs: theirs.head.to_string(),
        entries: foreign,
    }));
    Ok(Some((desk, edit)))
}

fn title(count: usize, theirs: &Side<'_>, known: &BTreeSet<crate::model::ChangeId>) -> String {
    let mut who: Vec<String> = Vec::new();
    for entry in theirs.entries() {
        if !known.contains(&entry.id) && !who.contains(&entry.who) {
            who.push(entry.who);
        }
    }
    let changes = if count == 1 { "change" } else { "changes" };
    format!("merged {count} {changes} by {}", who.join(", "))
}

/// What turns our records into the merged ones.
fn changes(ours: &Book, merged: &Tables) -> Vec<Change> {
    keys(ours.tables(), merged)
        .into_iter()
        .filter_map(|key| {
            let (before, after) = (ours.tables().get(key), merged.get(key));
            (before != after).then_some(Change { before, after })
        })
        .collect()
}

/// Every key that either has.
fn keys(one: &Tables, other: &Tables) -> BTreeSet<Key> {
    let mut keys = BTreeSet::new();
    let mut see = |record: Record| {
        keys.insert(record.key());
    };
    one.each(&mut see);
    other.each(&mut see);
    keys
}
