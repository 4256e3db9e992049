//! Undo and redo: the same list of pairs, swapped, as a new entry.

use super::{Change, Edit, Refusal};
use crate::{
    log::{Entry, EntryHead, EntryKind},
    model::Kind,
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
    for head in heads.iter().rev().filter(|h| h.who == who) {
        match head.kind {
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
    let consequence = |change: &Change| {
        !matches!(entry.kind, EntryKind::Progress)
            && change.before.is_some()
            && change.after.is_some()
            && change
                .key()
                .is_some_and(|k| matches!(k.kind, Kind::StepDone | Kind::Reading | Kind::Acceptance))
    };
    let changes = entry
        .changes
        .iter()
        .rev()
        .filter(|c| !consequence(c))
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
    }
}
