//! The first power: one fused rail after the other, the plugs of units with electronics off.

use super::{
    loom::{joined, negative},
    powered::{Making, Setup},
    roles::Roles,
    test::{Expected, Listed, Test},
    volts::expected,
    ways::{Link, Through, Ways},
};
use crate::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, End, Id, Part, PartKind, Terminal, TestKind},
};

/// All units off draw less than this from a rail, A (common practice, no source).
const DRAW_A: f64 = 0.01;
/// What a load draws may be so much off its figure (common practice, no source).
pub(super) const DRAW_SHARE: f64 = 0.5;

/// Volts and draw of each rail in the first state.
pub(super) fn tests(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    let book = making.see.book();
    let mut listed = Listed::default();
    let Some(state) = roles.states.first() else {
        listed
            .untold
            .push("cannot tell: missing a state in which the vehicle is switched off".to_owned());
        return listed;
    };
    let setup = Setup::without(state.id, roles.electronic.clone());
    let solved = making.solve(&setup);
    let negative = negative(book).map_or(End::Free, End::Junction);
    let ways = Ways::of(
        book,
        Through {
            chassis: false,
            joints: true,
        },
    );
    let mut rails: Vec<&Part> = book
        .all::<Part>()
        .values()
        .filter(|part| matches!(part.kind, PartKind::FuseWay { .. }))
        .collect();
    rails.order_by(|part| natural(&part.label));
    for rail in rails {
        let Some(at) = rail.ends.get(1).and_then(|end| reach(book, &ways, end)) else {
            listed.untold.push(format!(
                "{}: cannot tell: its rail ends inside, a lead has no place there",
                rail.label
            ));
            continue;
        };
        let volts = expected(&solved, |solved| solved.volts(at, negative));
        let draw = expected(&solved, |solved| match solved.through_a(rail.id) {
            Some((_, most)) => Expected::within(0.0, most.max(0.0) * (1.0 + DRAW_SHARE) + DRAW_A),
            None => Expected::CannotTell(format!("missing both ends of {}", rail.label)),
        });
        let mut test = Test::live(making, TestKind::Rails, (at, negative), state.id, volts);
        test.hint = format!(
            "{}: only this fuse in, its holder's load side or here",
            rail.label
        );
        listed.tests.push(test);
        let mut test = Test::live(making, TestKind::Draw, (at, negative), state.id, draw);
        test.hint = format!("{}: the meter in place of the fuse", rail.label);
        listed.tests.push(test);
    }
    listed
}

/// The first cavity with a wire that a rail leads to inside its box.
fn reach(book: &Book, ways: &Ways, end: &Terminal) -> Option<Id<Cavity>> {
    let wired: Vec<&Cavity> = joined(book)
        .into_iter()
        .flat_map(|(_, cavities)| cavities)
        .collect();
    let has_wire = |id: Id<Cavity>| wired.iter().any(|c| c.id == id);
    let mut found: Vec<Id<Cavity>> = ways
        .from(end)
        .into_iter()
        .filter(|(_, way)| way.iter().all(|link| matches!(link, Link::Joint(_))))
        .filter_map(|(terminal, _)| match terminal {
            Terminal::Cavity(id) if has_wire(id) => Some(id),
            _ => None,
        })
        .collect();
    found.order_by(|id| natural(&book.cavity_name(*id)));
    found.first().copied()
}
