//! Splices and studs.

use super::{Change, Edit, Refusal, label::next_label};
use crate::{
    Book,
    model::{Id, IdMaker, Junction, JunctionKind},
};

/// Adds a splice, stud or ground stud; with an empty label the next of its kind (`SP12`, `G5`, `ST1`).
///
/// # Errors
/// None of its own; the door refuses a label that is taken.
pub fn add_junction(
    book: &Book,
    ids: &mut IdMaker,
    kind: JunctionKind,
    label: &str,
    place: &str,
) -> Result<Edit, Refusal> {
    let row = junction_row(book, ids.make(), kind, label, place);
    let words = match kind {
        JunctionKind::Splice => "splice",
        JunctionKind::Stud => "stud",
        JunctionKind::GroundStud => "ground stud",
    };
    Ok(Edit::design(
        format!("{}: {words} added", row.label),
        vec![Change::make(row)],
    ))
}

pub(super) fn junction_row(
    book: &Book,
    id: Id<Junction>,
    kind: JunctionKind,
    label: &str,
    place: &str,
) -> Junction {
    let prefix = match kind {
        JunctionKind::Splice => "SP",
        JunctionKind::Stud => "ST",
        JunctionKind::GroundStud => "G",
    };
    let label = match label.trim() {
        "" => next_label::<Junction>(book, prefix),
        label => label.to_owned(),
    };
    Junction {
        id,
        label,
        kind,
        unit: None,
        zone: None,
        joint_ohm: None,
        sleeve_least_mm2: None,
        sleeve_most_mm2: None,
        clear_m: None,
        sealed: None,
        flexes: None,
        torque_nm: None,
        place: place.trim().to_owned(),
        note: String::new(),
    }
}
