//! References that lead nowhere.

use std::collections::BTreeSet;

use super::{Change, Refusal, wrong};
use crate::{Book, model::Record};

/// Refuses a record that names one that is not there.
pub(super) fn broken(after: &Book, record: &Record) -> Result<(), Refusal> {
    let mut broken = None;
    record.refs(&mut |reference| {
        if broken.is_none() && !after.tables().has(reference.key) {
            broken = Some(reference);
        }
    });
    match broken {
        None => Ok(()),
        Some(reference) => Err(wrong(
            after,
            record.key(),
            format!(
                "its {} names a {} that is not in the workbook",
                reference.field.replace('_', " "),
                reference.key.kind.title()
            ),
        )),
    }
}

/// Refuses to remove a record that others still name.
pub(super) fn still_named(before: &Book, after: &Book, change: &Change) -> Result<(), Refusal> {
    let Some(gone) = change.key() else { return Ok(()) };
    let users: BTreeSet<_> = after.index().users_of(gone).iter().copied().collect();
    let Some(first) = users.first() else { return Ok(()) };
    // What is named by the record that goes is named as it was before.
    let named_in = if before.tables().has(*first) {
        before
    } else {
        after
    };
    let more = if users.len() > 1 {
        format!(" and {} more", users.len() - 1)
    } else {
        String::new()
    };
    let verb = if users.len() > 1 { "need" } else { "needs" };
    Err(wrong(
        before,
        gone,
        format!(
            "cannot be removed: {}{more} still {verb} it",
            named_in.name_of(*first)
        ),
    ))
}
