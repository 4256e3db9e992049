//! What makes records wrong whatever the plan: broken references, labels taken twice, figures that cannot be.

use std::collections::BTreeSet;

use super::{Change, Edit, Refusal};
use crate::{Book, model::Record};

/// Checks the book `after` an edit; `before` names records that are gone.
pub(super) fn check(before: &Book, after: &Book, edit: &Edit) -> Result<(), Refusal> {
    for change in &edit.changes {
        match &change.after {
            Some(record) => {
                references(after, record)?;
                label(after, record)?;
            }
            None => still_named(before, after, change)?,
        }
    }
    Ok(())
}

fn references(after: &Book, record: &Record) -> Result<(), Refusal> {
    let mut broken = None;
    record.refs(&mut |reference| {
        if broken.is_none() && !after.tables().has(reference.key) {
            broken = Some(reference);
        }
    });
    match broken {
        None => Ok(()),
        Some(reference) => Err(Refusal::invalid(
            after.name_of(record.key()),
            Some(record.key()),
            format!(
                "its {} names a {} that is not in the workbook",
                reference.field.replace('_', " "),
                reference.key.kind.title()
            ),
        )),
    }
}

fn label(after: &Book, record: &Record) -> Result<(), Refusal> {
    let key = record.key();
    if !crate::book::unique_label(record) {
        return Ok(());
    }
    // The index holds the last of two records with one label; the loser finds another record in its place.
    match after
        .index()
        .by_label
        .get(&(key.kind, record.label().to_lowercase()))
    {
        Some(found) if *found != key => Err(Refusal::invalid(
            format!("{} {}", key.kind.title(), record.label()),
            Some(key),
            "the label is taken; choose another",
        )),
        _ => Ok(()),
    }
}

fn still_named(before: &Book, after: &Book, change: &Change) -> Result<(), Refusal> {
    let Some(gone) = change.key() else { return Ok(()) };
    let mut users = BTreeSet::new();
    after.tables().each(&mut |record| {
        record.refs(&mut |reference| {
            if reference.key == gone {
                users.insert(record.key());
            }
        });
    });
    let Some(first) = users.first() else { return Ok(()) };
    let more = if users.len() > 1 {
        format!(" and {} more", users.len() - 1)
    } else {
        String::new()
    };
    Err(Refusal::invalid(
        before.name_of(gone),
        Some(gone),
        format!(
            "cannot be removed: {}{more} still needs it",
            after.name_of(*first)
        ),
    ))
}
