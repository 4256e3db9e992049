//! References that lead nowhere.

use std::collections::BTreeSet;

use super::{Change, Refusal, wrong};
use crate::{
    Book,
    model::{Expression, Key, Kind, Part, PartKind, Record, Rule},
    rules,
};

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

/// Refuses to remove a record that an expression still names: what that says would silently become something else.
pub(super) fn still_said(before: &Book, after: &Book, change: &Change) -> Result<(), Refusal> {
    let Some(gone) = change.key() else { return Ok(()) };
    if !matches!(
        gone.kind,
        Kind::Switch | Kind::Cavity | Kind::Expression | Kind::Part
    ) {
        return Ok(());
    }
    let Some(says) = says(after, gone) else {
        return Ok(());
    };
    Err(wrong(
        before,
        gone,
        format!(
            "cannot be removed: {} names it in its expression; change that first",
            after.name_of(says)
        ),
    ))
}

/// The first record whose expression names another one.
fn says(book: &Book, gone: Key) -> Option<Key> {
    let id = gone.id.to_string();
    // Reading an expression takes longer than looking for the id in it.
    let names = |text: &str| text.contains(&id) && rules::named(text).contains(&gone);
    let expressions = book.all::<Expression>().values();
    let rules = book.all::<Rule>().values();
    let parts = book.all::<Part>().values();
    expressions
        .filter(|row| names(&row.text))
        .map(|row| Key::of(row.id))
        .chain(rules.filter(|row| names(&row.text)).map(|row| Key::of(row.id)))
        .chain(
            parts
                .filter(|row| when(&row.kind).is_some_and(names))
                .map(|row| Key::of(row.id)),
        )
        .next()
}

/// The expression of an output or a switched source.
fn when(kind: &PartKind) -> Option<&str> {
    match kind {
        PartKind::Source { when, .. } | PartKind::Output { when, .. } => Some(when),
        _ => None,
    }
}
