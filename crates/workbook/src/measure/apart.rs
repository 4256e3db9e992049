//! Sweeps along a plug, power off, plugs apart, fuses out: nothing is joined to chassis, or to battery positive, that should not be.

use std::collections::HashSet;

use super::{
    loom::{joined, negative},
    test::{Expected, Listed, Test},
    ways::{Through, Ways},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{End, Id, Junction, JunctionKind, Part, PartKind, Terminal, TestKind},
};

/// One lead on chassis.
pub(super) fn chassis(see: &Snapshot) -> Listed {
    let book = see.book();
    let ways = Ways::of(
        book,
        Through {
            chassis: true,
            joints: false,
        },
    );
    let studs = book
        .all::<Junction>()
        .values()
        .filter(|j| j.kind == JunctionKind::GroundStud)
        .map(|j| j.id);
    let roots: Vec<Terminal> = studs.chain(negative(book)).map(Terminal::Junction).collect();
    sweep(book, &ways, &roots, TestKind::Chassis, End::Free)
}

/// One lead on battery positive; nothing where no stud is known as that.
pub(super) fn supply(see: &Snapshot) -> Listed {
    let book = see.book();
    let Some(plus) = positive(book) else {
        return Listed {
            tests: Vec::new(),
            untold: vec![
                "cannot tell: missing a source that follows the supply, with a stud as its plus".to_owned(),
            ],
        };
    };
    let ways = Ways::of(book, Through::default());
    let roots = [Terminal::Junction(plus)];
    sweep(book, &ways, &roots, TestKind::Supply, End::Junction(plus))
}

fn positive(book: &Book) -> Option<Id<Junction>> {
    book.all::<Part>()
        .values()
        .find_map(|part| match (&part.kind, part.ends.first()) {
            (PartKind::Source { volts_v: None, .. }, Some(Terminal::Junction(id))) => Some(*id),
            _ => None,
        })
}

fn sweep(book: &Book, ways: &Ways, roots: &[Terminal], kind: TestKind, against: End) -> Listed {
    let joined_to: HashSet<Terminal> = roots
        .iter()
        .flat_map(|root| ways.from(root).into_keys())
        .collect();
    let tests = joined(book)
        .into_iter()
        .flat_map(|(_, cavities)| cavities)
        .filter(|cavity| !joined_to.contains(&Terminal::Cavity(cavity.id)))
        .map(|cavity| {
            let mut test = Test::ohms(kind, cavity.id, against, Expected::OPEN);
            let wires = book.index().wires_at_cavity.of(&cavity.id);
            test.wires = wires.iter().map(|(wire, _)| *wire).collect();
            test
        })
        .collect();
    Listed {
        tests,
        untold: Vec::new(),
    }
}
