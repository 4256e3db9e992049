//! Undo and redo: the same list of pairs, swapped, as a new entry.

use super::{Change, Edit, Refusal, lapse};
use crate::{
    Book,
    log::{Entry, EntryHead, EntryKind},
    model::Record,
};

/// The entry to undo or redo next.
#[derive(Debug, Clone, PartialEq)]
pub struct Undoable {
    /// Its place in the log.
    pub seq: u64,
    /// Its title.
    pub title: String,
}

/// The entry that `who` would undo next: the last of their own that is not undone and not before a release or merge.
///
/// # Errors
/// A sentence when there is none.
pub fn find_undo(heads: &[EntryHead], who: &str) -> Result<Undoable, Refusal> {
    let mut skip = std::collections::HashSet::new();
    for head in heads.iter().rev() {
        match head.kind {
            EntryKind::Release | EntryKind::Merge => {
                return Err(Refusal::CannotUndo(format!(
                    "cannot undo past \"{}\"",
                    head.title
                )));
            }
            EntryKind::Creation => break,
            _ if head.who != who => {}
            EntryKind::Undo => {
                skip.extend(head.of);
            }
            // A redo stands for the entry it did again.
            EntryKind::Redo => {
                if !skip.contains(&head.id) {
                    return Ok(Undoable {
                        seq: head.seq,
                        title: head.title.clone(),
                    });
                }
                skip.extend(head.of);
            }
            _ if skip.contains(&head.id) => {}
            _ => {
                return Ok(Undoable {
                    seq: head.seq,
                    title: head.title.clone(),
                });
            }
        }
    }
    Err(Refusal::CannotUndo("nothing of yours to undo".to_owned()))
}

/// The undo entry that `who` would take back next.
///
/// # Errors
/// A sentence when there is none: nothing was undone, or something was changed since.
pub fn find_redo(heads: &[EntryHead], who: &str) -> Result<Undoable, Refusal> {
    let mut done_again = std::collections::HashSet::new();
    for head in heads.iter().rev() {
        match head.kind {
            EntryKind::Release | EntryKind::Merge => {
                return Err(Refusal::CannotUndo(format!(
                    "cannot redo past \"{}\"",
                    head.title
                )));
            }
            _ if head.who != who => {}
            EntryKind::Redo => {
                done_again.extend(head.of);
            }
            EntryKind::Undo if done_again.contains(&head.id) => {}
            EntryKind::Undo => {
                return Ok(Undoable {
                    seq: head.seq,
                    title: head.title.clone(),
                });
            }
            _ => break,
        }
    }
    Err(Refusal::CannotUndo("nothing to redo".to_owned()))
}

/// The inverse of an entry. Steps that fell back because of it stay fallen back: what was touched must be looked at by a person.
pub fn invert(entry: &Entry) -> Edit {
    let redo = entry.kind == EntryKind::Undo;
    // Only a change of something else makes a step fall back; an entry of steps alone is a person's own word.
    let has_cause = entry
        .changes
        .iter()
        .filter_map(Change::key)
        .any(|key| !lapse::can_lapse(key.kind));
    let changes = entry
        .changes
        .iter()
        .rev()
        .filter(|change| !(has_cause && lapse::is_lapse(change)))
        .cloned()
        .map(Change::swapped)
        .collect();
    let base = entry
        .title
        .trim_start_matches("undo: ")
        .trim_start_matches("redo: ");
    Edit {
        kind: if redo { EntryKind::Redo } else { EntryKind::Undo },
        title: format!("{}: {base}", if redo { "redo" } else { "undo" }),
        why: String::new(),
        changes,
        of: Some(entry.id),
        revision: None,
        merged: None,
    }
}

/// Fits an undo to records that have fallen back since: nothing else of them may have changed, and fallen back they stay.
pub(super) fn keep_lapsed(book: &Book, changes: &mut [Change]) {
    for change in changes {
        let Some(key) = change.key().filter(|key| lapse::can_lapse(key.kind)) else {
            continue;
        };
        let (Some(now), Some(expected)) = (book.tables().get(key), change.before.clone()) else {
            continue;
        };
        if now == expected || with_lapse_of(expected, &now) != now {
            continue;
        }
        change.after = change.after.take().map(|after| with_lapse_of(after, &now));
        change.before = Some(now);
    }
}

/// The record with the lapse of another.
fn with_lapse_of(mut record: Record, other: &Record) -> Record {
    match (&mut record, other) {
        (Record::StepDone(row), Record::StepDone(other)) => row.redo.clone_from(&other.redo),
        (Record::Reading(row), Record::Reading(other)) => row.lapsed.clone_from(&other.lapsed),
        (Record::Acceptance(row), Record::Acceptance(other)) => row.lapsed.clone_from(&other.lapsed),
        _ => {}
    }
    record
}

/// Says of an undo that a record has moved on, rather than that somebody looked at an old one.
pub(super) fn moved_on(edit: &Edit, refusal: Refusal) -> Refusal {
    match refusal {
        Refusal::MovedOn { what, .. } if matches!(edit.kind, EntryKind::Undo | EntryKind::Redo) => {
            let (verb, title) = edit
                .title
                .split_once(": ")
                .unwrap_or(("undo", edit.title.as_str()));
            Refusal::CannotUndo(format!(
                "cannot {verb} \"{title}\": {what} has changed since; nothing was written; change it by hand"
            ))
        }
        other => other,
    }
}
