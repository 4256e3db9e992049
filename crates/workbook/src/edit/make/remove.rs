//! Removing things, with all that is theirs alone.

use std::collections::BTreeSet;

use super::cavity::no_longer_wired;
use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{Connector, Fuse, Key, Kind, Wire},
};

/// Removes a record. Connectors and inside parts go with their unit, cavities with their connector, the way with its fuse, which its wires no longer name;
/// candidates and accepted findings go with what they are about, and cavities of a removed wire are undecided again.
/// (Steps are added by the door.) A typed word of confirmation is the screen's matter.
///
/// # Errors
/// The record is gone, or something else needs it: the first is named.
pub fn remove(book: &Book, key: Key) -> Result<Edit, Refusal> {
    let name = book.name_of(key);
    if !book.tables().has(key) {
        return Err(Refusal::invalid(
            name,
            Some(key),
            "is not in the workbook any more; look again",
        ));
    }
    let mut gone = BTreeSet::from([key]);
    let mut open = vec![key];
    while let Some(at) = open.pop() {
        for user in book.index().users_of(at) {
            if goes_with(book, *user, at) && gone.insert(*user) {
                open.push(*user);
            }
        }
    }
    let mut changes: Vec<Change> = Vec::new();
    // Those that name others first, so that the list reads from the outside in.
    for key in gone.iter().rev() {
        let before = book.tables().get(*key);
        // A step goes through the door's own hand.
        if key.kind != Kind::StepDone && before.is_some() {
            changes.push(Change { before, after: None });
        }
    }
    if let Some(wire) = key.as_id::<Wire>().and_then(|id| book.get(id)) {
        changes.extend(no_longer_wired(book, wire.from));
        changes.extend(no_longer_wired(book, wire.to));
    }
    if let Some(fuse) = key.as_id::<Fuse>() {
        let users = book.index().users_of(key).iter();
        for wire in users.filter_map(|user| book.get(user.as_id::<Wire>()?)) {
            let mut after = wire.clone();
            after.inline_fuse = wire.inline_fuse.filter(|inline| inline.fuse != fuse);
            after.fuse = wire.fuse.filter(|meant| *meant != fuse);
            changes.push(Change::replace(wire.clone(), after));
        }
    }
    let others = gone
        .iter()
        .filter(|k| **k != key && k.kind != Kind::StepDone)
        .count();
    let title = match others {
        0 => format!("{name} removed"),
        n => format!("{name} removed, with {n} that belong to it"),
    };
    Ok(Edit::design(title, changes))
}

/// Whether `user`, which names `gone`, is of no use without it.
fn goes_with(book: &Book, user: Key, gone: Key) -> bool {
    match (user.kind, gone.kind) {
        (Kind::StepDone | Kind::Candidate | Kind::Acceptance | Kind::TemporaryLink, _) => true,
        (Kind::Reading | Kind::FileNote | Kind::TerminalNumber, _) => true,
        (Kind::Cavity, Kind::Connector) => true,
        (Kind::Connector, Kind::Unit) => user
            .as_id::<Connector>()
            .and_then(|id| book.get(id))
            .is_some_and(|c| Key::of(c.unit) == gone),
        (Kind::Part, Kind::Unit | Kind::Fuse) => true,
        (Kind::Setting | Kind::Expression, Kind::Unit) => true,
        (Kind::ChassisPath, Kind::Junction) => true,
        _ => false,
    }
}
