//! Connectors and their cavities.

use super::{Change, Edit, Refusal, cannot, change, need};
use crate::{
    Book,
    model::{Cavity, Connector, Decision, Id, IdMaker, Limits, Unit, face::Face},
};

/// What is known of a connector when it is added.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ConnectorDraft {
    /// Short name (`MC-A`).
    pub label: String,
    /// What it is, in words.
    pub name: String,
    /// Whether cavities are sealed; not known if absent.
    pub sealed: Option<bool>,
    /// The face in one line; its cavities are made with it. Empty: not described yet.
    pub face: String,
}

/// Adds a connector with the cavities of its face, all undecided.
///
/// # Errors
/// The unit is gone, or the face line is not understood.
pub fn add_connector(
    book: &Book,
    ids: &mut IdMaker,
    unit: Id<Unit>,
    draft: &ConnectorDraft,
) -> Result<Edit, Refusal> {
    need(book, unit)?;
    let label = draft.label.trim().to_owned();
    let face = match draft.face.trim() {
        "" => None,
        line => Some(
            Face::parse(line)
                .map_err(|e| Refusal::invalid(format!("connector {label}"), None, e.to_string()))?,
        ),
    };
    let connector = Connector {
        id: ids.make(),
        unit,
        label,
        name: draft.name.trim().to_owned(),
        sealed: draft.sealed,
        face: face.as_ref().map_or_else(String::new, Face::to_string),
        pin_plating: None,
        keying: String::new(),
        couples_to: None,
        single_steps: false,
        note: String::new(),
    };
    let (id, label) = (connector.id, connector.label.clone());
    let mut changes = vec![Change::make(connector)];
    for number in face.iter().flat_map(Face::numbers) {
        changes.push(Change::make(cavity_row(ids.make(), id, number)));
    }
    let cavities = changes.len() - 1;
    let title = match cavities {
        0 => format!("{label}: connector added"),
        n => format!("{label}: connector added with {n} cavities"),
    };
    Ok(Edit::design(title, changes))
}

/// Adds cavities to a connector, undecided.
///
/// # Errors
/// The connector is gone, or no number was given.
pub fn add_cavities(
    book: &Book,
    ids: &mut IdMaker,
    connector: Id<Connector>,
    numbers: &[&str],
) -> Result<Edit, Refusal> {
    let label = &need(book, connector)?.label;
    let title = match numbers {
        [] => return Err(cannot(book, connector, "no number was given; nothing was added")),
        [one] => format!("{label}: cavity {one} added"),
        [first, .., last] => format!("{label}: cavities {first} to {last} added"),
    };
    let rows = numbers
        .iter()
        .map(|number| Change::make(cavity_row(ids.make(), connector, number)));
    Ok(Edit::design(title, rows.collect()))
}

/// Gives a cavity another number.
///
/// # Errors
/// The cavity is gone, or has that number.
pub fn renumber(book: &Book, cavity: Id<Cavity>, number: &str) -> Result<Edit, Refusal> {
    let number = number.trim();
    let title = format!("{}: number {number}", book.cavity_name(cavity));
    change(book, cavity, title, |c| number.clone_into(&mut c.number))
}

/// A cavity of which only the number is known.
pub fn cavity_row(id: Id<Cavity>, connector: Id<Connector>, number: &str) -> Cavity {
    Cavity {
        id,
        connector,
        number: number.trim().to_owned(),
        unit_number: String::new(),
        name: String::new(),
        kind: None,
        limits: Limits::default(),
        contact: None,
        decision: Decision::Undecided,
        why: String::new(),
        plug: false,
        page: String::new(),
        note: String::new(),
    }
}
