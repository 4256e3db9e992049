//! Volts to expect in a state, the plugs of units with electronics off or all plugs on.

use super::{
    loom::{joined, negative},
    powered::{Making, Setup, Solved},
    roles::electronic,
    test::{Expected, Listed, Test},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, End, Id, State, Terminal, TestKind, Unit},
};

/// The tests of a state, with the plugs of units with electronics off, or with all plugs on.
pub(super) fn tests(making: Making<'_>, state: Id<State>, kind: TestKind) -> Listed {
    let book = making.see.book();
    let off = (kind == TestKind::PlugsOff).then(|| electronic(book));
    let setup = off
        .as_ref()
        .map_or_else(|| Setup::of(state), |off| Setup::without(state, off.clone()));
    let solved = making.solve(&setup);
    let shown = |unit: Id<Unit>| off.as_ref().is_none_or(|off| off.contains(&unit));
    Listed {
        tests: of_units(making, &setup, kind, &solved, shown),
        untold: Vec::new(),
    }
}

/// A test of each cavity of the units that are shown, in the order of their connectors.
pub(super) fn of_units(
    making: Making<'_>,
    setup: &Setup,
    kind: TestKind,
    solved: &Result<Solved, String>,
    shown: impl Fn(Id<Unit>) -> bool,
) -> Vec<Test> {
    let mut tests = Vec::new();
    for (connector, cavities) in joined(making.see.book()) {
        if shown(connector.unit) {
            let of = |cavity: &&Cavity| one(making, setup, kind, connector.unit, cavity.id, solved);
            tests.extend(cavities.iter().map(of));
        }
    }
    tests
}

fn one(
    making: Making<'_>,
    setup: &Setup,
    kind: TestKind,
    unit: Id<Unit>,
    cavity: Id<Cavity>,
    solved: &Result<Solved, String>,
) -> Test {
    let against = ground_of(making.see, unit, cavity);
    let expected = expected(solved, |solved| solved.volts(cavity, against));
    Test::live(making, kind, (cavity, against), setup.state, expected)
}

/// What is expected where it could be solved, else why not.
pub(super) fn expected(solved: &Result<Solved, String>, of: impl FnOnce(&Solved) -> Expected) -> Expected {
    match solved {
        Ok(solved) => of(solved),
        Err(why) => Expected::CannotTell(why.clone()),
    }
}

/// Where the second lead goes: the unit's own ground, else battery negative.
pub(crate) fn ground_of(see: &Snapshot, unit: Id<Unit>, at: Id<Cavity>) -> End {
    let fallback = || negative(see.book()).map_or(End::Free, End::Junction);
    match see.wiring().grounds.get(&unit) {
        Some(Terminal::Cavity(id)) if *id != at => End::Cavity(*id),
        Some(Terminal::Junction(id)) => End::Junction(*id),
        _ => fallback(),
    }
}
