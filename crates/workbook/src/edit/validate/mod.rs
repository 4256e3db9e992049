//! What makes a record wrong whatever the plan: broken references, labels taken twice, figures that cannot be.
//!
//! Only the records of an edit are looked at, and those that a change of them can make wrong.

mod about;
mod cavity;
mod connector;
mod fields;
mod figure;
mod junction;
mod label;
mod part;
mod reference;
mod state;
mod step;
#[cfg(test)]
mod tests;
mod walk;
mod wire;

use std::collections::BTreeSet;

use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{Cavity, Connector, End, Key, Kind, Record, Row, Wire},
};

/// Checks the book `after` an edit; `before` names records that are gone.
pub(super) fn check(before: &Book, after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let mut touched = BTreeSet::new();
    for key in edit.changes.iter().filter_map(Change::key) {
        if !touched.insert(key) {
            return Err(wrong(after, key, "is changed twice in one edit; put it in once"));
        }
    }
    for change in &edit.changes {
        match &change.after {
            Some(record) => {
                walk::check(after, record)?;
                reference::broken(after, record)?;
                label::check(after, record)?;
            }
            None => reference::still_named(before, after, change)?,
        }
    }
    about::one_page(after, edit)?;
    let mut look = BTreeSet::new();
    for key in &touched {
        concerned(before, *key, &mut look);
        concerned(after, *key, &mut look);
    }
    // The records of the edit first: what is wrong with them is what the person just did.
    touched
        .iter()
        .chain(look.difference(&touched))
        .filter_map(|key| after.tables().get(*key))
        .try_for_each(|record| rules(after, &record))
}

/// The rules of one record.
fn rules(book: &Book, record: &Record) -> Result<(), Refusal> {
    match record {
        Record::About(row) => about::check(book, row),
        Record::Zone(row) => fields::zone(book, row),
        Record::Bundle(row) => fields::bundle(book, row),
        Record::ContactFamily(row) => fields::contact_family(book, row),
        Record::Connector(row) => connector::check(book, row),
        Record::Cavity(row) => cavity::check(book, row),
        Record::Junction(row) => junction::check(book, row),
        Record::ChassisPath(row) => junction::path(book, row),
        Record::Fuse(row) => fields::fuse(book, row),
        Record::Switch(row) => state::switch(book, row),
        Record::Part(row) => part::check(book, row),
        Record::Wire(row) => wire::check(book, row),
        Record::State(row) => state::check(book, row),
        Record::Candidate(row) => cavity::candidate(book, row),
        Record::StepDone(row) => step::check(book, row),
        Record::Reading(row) => step::reading(book, row),
        Record::TemporaryLink(row) => junction::link(book, row),
        Record::Unit(_)
        | Record::Expression(_)
        | Record::Rule(_)
        | Record::Setting(_)
        | Record::Trial(_)
        | Record::Acceptance(_) => Ok(()),
    }
}

/// Adds the records that a change of `key` can make wrong.
fn concerned(book: &Book, key: Key, look: &mut BTreeSet<Key>) {
    let users = |kinds: &[Kind]| {
        let users = book.index().users_of(key).iter();
        users
            .filter(|u| kinds.contains(&u.kind))
            .copied()
            .collect::<Vec<_>>()
    };
    match key.kind {
        Kind::Switch => look.extend(users(&[Kind::Part, Kind::State])),
        Kind::Part => look.extend(users(&[Kind::Part])),
        // Moved to another unit: inside parts at its cavities would be left behind.
        Kind::Connector => {
            let cavities = key
                .as_id::<Connector>()
                .map(|id| book.index().cavities_of.of(&id));
            for cavity in cavities.into_iter().flatten() {
                let parts = book.index().users_of(Key::of(*cavity)).iter();
                look.extend(parts.filter(|u| u.kind == Kind::Part));
            }
        }
        Kind::Cavity => {
            look.extend(users(&[Kind::Cavity, Kind::Part]));
            if let Some(cavity) = key.as_id::<Cavity>().and_then(|id| book.get(id)) {
                look.insert(Key::of(cavity.connector));
            }
        }
        Kind::Wire => {
            if let Some(wire) = key.as_id::<Wire>().and_then(|id| book.get(id)) {
                for end in [wire.from, wire.to] {
                    if let End::Cavity(id) = end {
                        look.insert(Key::of(id));
                    }
                }
            }
        }
        _ => {}
    }
}

/// A refusal that names the record.
fn wrong(book: &Book, key: Key, problem: impl Into<String>) -> Refusal {
    Refusal::invalid(book.name_of(key), Some(key), problem)
}

/// A refusal that names the row.
fn bad<R: Row>(book: &Book, row: &R, problem: impl Into<String>) -> Result<(), Refusal> {
    Err(wrong(book, Key::of(row.id()), problem))
}
