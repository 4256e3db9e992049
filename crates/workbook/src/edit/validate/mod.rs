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
mod stock;
#[cfg(test)]
mod tests;
mod trial;
mod walk;
mod wire;

use std::{collections::BTreeSet, ops::ControlFlow};

pub use cavity::no_wire_ends;

use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{Cavity, Connector, End, Key, Kind, RecordRef, Row, Wire},
};

/// More cavities than any vehicle has; a table taken for another is told, and memory stays bounded.
const MOST_CAVITIES: usize = 100_000;

/// Checks the book `after` an edit; `before` names records that are gone.
pub(super) fn check(before: &Book, after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let mut first = None;
    each(before, after, edit, &mut |refusal| {
        first = Some(refusal);
        ControlFlow::Break(())
    });
    first.map_or(Ok(()), Err)
}

/// Tells what is wrong with each record in turn, at most one thing of each, for as long as `tell` goes on.
pub(super) fn each(before: &Book, after: &Book, edit: &Edit, tell: &mut Tell<'_>) {
    // That somebody wants no more is no trouble of its own.
    let _ = walk_through(before, after, edit, tell);
}

/// Takes a refusal in, and says whether to go on.
type Tell<'t> = dyn FnMut(Refusal) -> ControlFlow<()> + 't;

fn walk_through(before: &Book, after: &Book, edit: &Edit, tell: &mut Tell<'_>) -> ControlFlow<()> {
    let mut touched = BTreeSet::new();
    for key in edit.changes.iter().filter_map(Change::key) {
        if !touched.insert(key) {
            tell(wrong(after, key, "is changed twice in one edit; put it in once"))?;
        }
    }
    let mut told = BTreeSet::new();
    for change in &edit.changes {
        let found = match &change.after {
            Some(record) => walk::check(after, record)
                .and_then(|()| reference::broken(after, record))
                .and_then(|()| label::check(after, record)),
            None => reference::still_named(before, after, change)
                .and_then(|()| reference::still_said(before, after, change)),
        };
        if let Err(refusal) = found {
            told.extend(change.key());
            tell(refusal)?;
        }
    }
    if let Err(refusal) = about::one_page(after, edit) {
        tell(refusal)?;
    }
    let cavities = after.all::<Cavity>().len();
    if cavities > MOST_CAVITIES && cavities > before.all::<Cavity>().len() {
        let problem = format!("would have {cavities} cavities; a workbook holds at most {MOST_CAVITIES}");
        tell(Refusal::invalid("the workbook", None, problem))?;
    }
    let mut look = BTreeSet::new();
    for key in &touched {
        concerned(before, *key, &mut look);
        concerned(after, *key, &mut look);
    }
    // The records of the edit first: what is wrong with them is what the person just did.
    let all = touched.iter().chain(look.difference(&touched));
    for record in all
        .filter(|key| !told.contains(key))
        .filter_map(|key| after.tables().get_ref(*key))
    {
        if let Err(refusal) = rules(after, record) {
            tell(refusal)?;
        }
    }
    ControlFlow::Continue(())
}

/// The rules of one record.
fn rules(book: &Book, record: RecordRef) -> Result<(), Refusal> {
    match record {
        RecordRef::About(row) => about::check(book, row),
        RecordRef::Zone(row) => fields::zone(book, row),
        RecordRef::Bundle(row) => fields::bundle(book, row),
        RecordRef::ContactFamily(row) => fields::contact_family(book, row),
        RecordRef::Connector(row) => connector::check(book, row),
        RecordRef::Cavity(row) => cavity::check(book, row),
        RecordRef::Junction(row) => junction::check(book, row),
        RecordRef::ChassisPath(row) => junction::path(book, row),
        RecordRef::Fuse(row) => fields::fuse(book, row),
        RecordRef::Switch(row) => state::switch(book, row),
        RecordRef::Part(row) => part::check(book, row),
        RecordRef::Wire(row) => wire::check(book, row),
        RecordRef::State(row) => state::check(book, row),
        RecordRef::Candidate(row) => cavity::candidate(book, row),
        RecordRef::StepDone(row) => step::check(book, row),
        RecordRef::Reading(row) => step::reading(book, row),
        RecordRef::Setting(row) => trial::setting(book, row),
        RecordRef::Trial(row) => trial::trial(book, row),
        RecordRef::FileNote(row) => trial::file_note(book, row),
        RecordRef::Drum(row) => stock::drum(book, row),
        RecordRef::StockLine(row) => stock::line(book, row),
        RecordRef::ColourUse(row) => stock::colour_use(book, row),
        RecordRef::TerminalNumber(row) => stock::terminal_number(book, row),
        RecordRef::TemporaryLink(row) => junction::link(book, row),
        RecordRef::Unit(_)
        | RecordRef::Expression(_)
        | RecordRef::Rule(_)
        | RecordRef::FirstRun(_)
        | RecordRef::FaultFinding(_)
        | RecordRef::Acceptance(_) => Ok(()),
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
