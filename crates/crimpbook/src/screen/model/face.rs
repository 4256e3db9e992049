//! The Face: which connector, from which side, where the cursor is, what is marked.

use std::{collections::BTreeSet, sync::Arc};

use crimpbook_workbook::{
    book::natural,
    model::{Cavity, Connector, Decision, Id, View, Wire, face::Face},
};

use super::Model;

/// State of the Face screen.
#[derive(Debug, Clone, Default)]
pub struct FaceScreen {
    /// The connector shown; the first one where none was chosen or it is gone.
    pub connector: Option<Id<Connector>>,
    /// The cavity the cursor is on.
    pub cavity: Option<Id<Cavity>>,
    /// Whether it is looked at from the side that its line does not state.
    pub flipped: bool,
    /// Marked cavities.
    pub marks: BTreeSet<Id<Cavity>>,
    /// Where a run of marks began, while one is being marked.
    pub run: Option<Id<Cavity>>,
    /// What was marked before that.
    pub marked_before: BTreeSet<Id<Cavity>>,
    /// The decision being given its why.
    pub deciding: Option<Decision>,
    /// Whether cavity after cavity is being described.
    pub describing: bool,
    /// The last decision with its why, to repeat.
    pub last: Option<(Decision, String)>,
}

/// The connector shown.
pub fn connector(model: &Model) -> Option<&Connector> {
    let chosen = model.face.connector.and_then(|id| model.book.get(id));
    chosen.or_else(|| model.book.get(*connectors(model).first()?))
}

/// Every connector, by label.
pub fn connectors(model: &Model) -> &[Id<Connector>] {
    model.derived.connectors.get_or_init(|| {
        let mut all: Vec<&Connector> = model.book.all::<Connector>().values().collect();
        all.sort_by_cached_key(|c| natural(&c.label));
        Arc::new(all.into_iter().map(|c| c.id).collect())
    })
}

/// The cavity the cursor is on.
pub fn cavity(model: &Model) -> Option<&Cavity> {
    let connector = connector(model)?;
    let chosen = model
        .face
        .cavity
        .and_then(|id| model.book.get(id))
        .filter(|c| c.connector == connector.id);
    chosen.or_else(|| model.book.cavities_of(connector.id).into_iter().next())
}

/// The side looked at: the one the face's line states, or the other.
pub fn view(model: &Model, face: &Face) -> View {
    let stated = face.seen_from.unwrap_or(View::MatingSide);
    if model.face.flipped {
        stated.flipped()
    } else {
        stated
    }
}

/// The wire at a cavity; the first of several.
pub fn wire_at(model: &Model, cavity: Id<Cavity>) -> Option<&Wire> {
    let (id, _) = model.book.index().wires_at_cavity.get(&cavity)?.first()?;
    model.book.get(*id)
}

/// What a decision or edit is about: the marked cavities, else the one under the cursor.
pub fn chosen(model: &Model) -> Vec<&Cavity> {
    let Some(connector) = connector(model) else {
        return Vec::new();
    };
    let marked: Vec<&Cavity> = model
        .book
        .cavities_of(connector.id)
        .into_iter()
        .filter(|c| model.face.marks.contains(&c.id))
        .collect();
    if marked.is_empty() {
        cavity(model).into_iter().collect()
    } else {
        marked
    }
}

/// The cavity after one, by number; none after the last.
pub fn next(model: &Model, after: Id<Cavity>) -> Option<&Cavity> {
    let cavity = model.book.get(after)?;
    let all = model.book.cavities_of(cavity.connector);
    let at = all.iter().position(|c| c.id == after)?;
    all.get(at + 1).copied()
}
