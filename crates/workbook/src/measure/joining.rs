//! Plugs that go on one after the other, in a state in which the controller is awake and switches nothing.

use std::collections::HashSet;

use super::{
    powered::{Making, Setup},
    rails::DRAW_SHARE,
    roles::Roles,
    test::{Expected, Listed, Test},
    volts::{expected, ground_of, of_units},
};
use crate::{
    book::{InOrder, natural},
    model::{Cavity, Id, SignalKind, State, Terminal, TestKind, Unit},
};

/// A supply that should draw next to nothing draws less than this, A. Our own bound.
const NOTHING_A: f64 = 0.01;

/// The unit that decides and the state it is idle in; else what is missing.
pub(super) fn begin(roles: &Roles<'_>) -> Result<(Id<Unit>, Id<State>), String> {
    let controller = roles
        .controller
        .ok_or_else(|| "cannot tell: missing a unit with outputs, as inside parts".to_owned())?;
    let idle = roles.idle.ok_or_else(|| {
        "cannot tell: missing a state in which the controller's sensor supplies are on and no output of it is".to_owned()
    })?;
    Ok((controller, idle.id))
}

/// The controller's plug on and nothing else: its volts, and what its supplies draw.
pub(super) fn controller(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    let (controller, idle) = match begin(roles) {
        Ok(begun) => begun,
        Err(missing) => return nothing(missing),
    };
    let mut off = roles.electronic.clone();
    off.remove(&controller);
    let setup = Setup::without(idle, off);
    let solved = making.solve(&setup);
    let is_it = |unit| unit == controller;
    let mut tests = of_units(making, &setup, TestKind::FirstPlug, &solved, is_it);
    let book = making.see.book();
    let fed: Vec<Id<Cavity>> = tests
        .iter()
        .filter_map(|test| book.get(test.at))
        .filter(|c: &&Cavity| matches!(c.kind, Some(SignalKind::SupplyIn | SignalKind::LogicSupply)))
        .map(|c| c.id)
        .collect();
    for at in fed {
        let behind = !book.index().parts_at.of(&Terminal::Cavity(at)).is_empty();
        let draw = expected(&solved, |solved| match solved.flows_in_a(at).filter(|_| behind) {
            Some((least, most)) if most > NOTHING_A => {
                Expected::within(least.max(0.0) * (1.0 - DRAW_SHARE), most * (1.0 + DRAW_SHARE))
            }
            Some(_) => Expected::within(0.0, NOTHING_A),
            None => Expected::CannotTell("missing what is behind it, as an inside part".to_owned()),
        });
        let against = ground_of(making.see, controller, at);
        let mut test = Test::live(making, TestKind::Draw, (at, against), idle, draw);
        "the meter in place of its fuse; half to one and a half times the manual's figure"
            .clone_into(&mut test.hint);
        tests.push(test);
    }
    Listed {
        tests,
        untold: vec!["the fault list is read in the controller itself: save it".to_owned()],
    }
}

/// The other units in the order in which their plugs go on; sensors went before.
pub(super) fn order(making: Making<'_>, roles: &Roles<'_>) -> Vec<Id<Unit>> {
    let sensors = roles.sensors(making.see);
    let book = making.see.book();
    let mut units: Vec<Id<Unit>> = roles
        .electronic
        .iter()
        .copied()
        .filter(|unit| Some(*unit) != roles.controller && !sensors.contains(unit))
        .collect();
    units.order_by(|unit| natural(&book.label_of(*unit)));
    units
}

/// The other units one by one: each unit's own cavities when its plug has just gone on.
pub(super) fn tests(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    let idle = match begin(roles) {
        Ok((_, idle)) => idle,
        Err(missing) => return nothing(missing),
    };
    let order = order(making, roles);
    let mut off: HashSet<Id<Unit>> = order.iter().copied().collect();
    let mut listed = Listed::default();
    for unit in order {
        off.remove(&unit);
        let setup = Setup::without(idle, off.clone());
        let solved = making.solve(&setup);
        let mut tests = of_units(making, &setup, TestKind::Joining, &solved, |other| other == unit);
        for test in &mut tests {
            let kind = making.see.book().get(test.at).and_then(|c: &Cavity| c.kind);
            if matches!(kind, Some(SignalKind::CanHigh | SignalKind::CanLow)) {
                "messages and error counters are read in the units themselves".clone_into(&mut test.hint);
            }
        }
        listed.tests.extend(tests);
    }
    listed
}

pub(super) fn nothing(missing: String) -> Listed {
    Listed {
        tests: Vec::new(),
        untold: vec![missing],
    }
}
