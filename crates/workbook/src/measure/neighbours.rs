//! What lies beside what on a face: pairs that must not be joined, and the cavity that a mirrored plug would take for another.

use super::{
    loom::joined,
    test::{Expected, Listed, Test},
};
use crate::book::InOrder;
use crate::{
    analysis::Snapshot,
    model::{
        Cavity, End, TestKind, View,
        face::{Cell, Face},
    },
};

/// Two cavities are neighbours up to this distance, squared, in quarter pitches: beside, above and staggered, not across.
const NEAR: i32 = 5;

/// The cavity that stands where `number` would on the mirrored face; none: the face has no such place.
pub(super) fn twin(face: &Face, number: &str) -> Option<String> {
    let cells = face.cells(View::MatingSide);
    let cell = cells.iter().find(|c| c.number.eq_ignore_ascii_case(number))?;
    let mut row: Vec<&Cell> = cells.iter().filter(|c| c.y_half == cell.y_half).collect();
    row.order_by(|c| c.x_half);
    let place = row.iter().position(|c| c.number == cell.number)?;
    let twin = row.get(row.len() - 1 - place)?;
    (twin.number != cell.number).then(|| twin.number.clone())
}

/// Pairs of cavities beside each other that belong to different nets: no joint between them, power off, plugs apart.
pub(super) fn tests(see: &Snapshot) -> Listed {
    let book = see.book();
    let nets = &see.signals().nets;
    let mut listed = Listed::default();
    for (connector, cavities) in joined(book) {
        let cells = book.face_of(connector.id).cells(View::MatingSide);
        let placed: Vec<(&Cavity, &Cell)> = cavities
            .iter()
            .filter_map(|c| {
                Some((
                    *c,
                    cells
                        .iter()
                        .find(|cell| cell.number.eq_ignore_ascii_case(&c.number))?,
                ))
            })
            .collect();
        for (at, (one, here)) in placed.iter().enumerate() {
            for (other, there) in placed.iter().skip(at + 1) {
                let (x, y) = (there.x_half - here.x_half, there.y_half - here.y_half);
                let near = x * x + y * y <= NEAR;
                if near && nets.at_cavity(one.id) != nets.at_cavity(other.id) {
                    listed.tests.push(Test {
                        wires: Vec::new(),
                        ..Test::ohms(TestKind::Neighbour, one.id, End::Cavity(other.id), Expected::OPEN)
                    });
                }
            }
        }
    }
    listed
}
