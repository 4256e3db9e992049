//! Contactor coils without the pack: what each gets when it is to pull in, that every switch in its way lets it go, and how
//! fast. And the precharge, as far as control wiring shows it.

use crate::book::InOrder;
use std::collections::HashMap;

use super::{
    joining::nothing,
    powered::{Making, Setup, Solved},
    roles::Roles,
    test::{Expected, Listed, Test},
    volts::expected,
};
use crate::{
    check::{precharge_given, precharge_outputs},
    circuit::drops_out_v,
    model::{
        About, Cavity, Driver, End, Id, Part, PartKind, State, Switch, SwitchKind, SwitchPosition, Terminal,
        TestKind,
    },
};

/// A contactor lets go within this, s (common practice, no source).
const RELEASE_S: f64 = 0.2;

/// The two cavities of a coil.
fn cavities(coil: &Part) -> Option<(Id<Cavity>, End)> {
    match coil.ends.as_slice() {
        [Terminal::Cavity(plus), Terminal::Cavity(minus)] => Some((*plus, End::Cavity(*minus))),
        [Terminal::Cavity(plus), Terminal::Junction(minus)] => Some((*plus, End::Junction(*minus))),
        [Terminal::Cavity(plus), Terminal::Inner { node, .. }] if node == "case" => Some((*plus, End::Free)),
        _ => None,
    }
}

/// The tests.
pub(super) fn tests(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    if roles.contactors.is_empty() {
        return nothing("cannot tell: missing the contactors' coils, as inside parts".to_owned());
    }
    let mut listed = Listed::default();
    let mut opened = Opened::default();
    for coil in &roles.contactors {
        let Some((at, against)) = cavities(coil) else {
            listed.untold.push(format!(
                "{}: cannot tell: its ends are inside, a lead has no place there",
                coil.label
            ));
            continue;
        };
        let Some(state) = roles.pulled_in(coil) else {
            listed.untold.push(format!(
                "{}: cannot tell: missing a state in which it is pulled in",
                coil.label
            ));
            continue;
        };
        let solved = making.solve(&Setup::of(state.id));
        let volts = expected(&solved, |solved| solved.volts(at, against));
        let mut test = Test::live(making, TestKind::CoilOn, (at, against), state.id, volts);
        test.hint = format!("{}: it clicks, and its auxiliary contact follows", coil.label);
        listed.tests.push(test);
        let switches = match opened.of(making, state, coil, (at, against)) {
            Ok(switches) => switches,
            Err(why) => {
                let words = format!("{}: cannot tell which switch opens its feed: {why}", coil.label);
                listed.untold.push(words);
                continue;
            }
        };
        if switches.is_empty() {
            listed.untold.push(format!(
                "{}: no switch opens its feed by wiring alone",
                coil.label
            ));
        }
        for held in switches {
            let solved = making.solve(&holding(state, &held));
            let volts = expected(&solved, |solved| solved.volts(at, against));
            let mut test = Test::live(making, TestKind::CoilOff, (at, against), state.id, volts);
            test.held = Some(held.clone());
            test.hint.clone_from(&coil.label);
            listed.tests.push(test);
            let most = Expected::within(0.0, RELEASE_S);
            let mut test = Test::live(making, TestKind::Release, (at, against), state.id, most);
            test.held = Some(held);
            test.hint = format!("{}: from the switch to the click", coil.label);
            listed.tests.push(test);
        }
    }
    listed
}

/// A state with a switch held elsewhere; outputs stay on, as a stuck controller would leave them.
fn holding(state: &State, held: &SwitchPosition) -> Setup {
    Setup {
        freed: true,
        held: Some(held.clone()),
        ..Setup::of(state.id)
    }
}

/// States solved at the usual voltage with a switch held elsewhere.
#[derive(Default)]
struct Opened(HashMap<Held, Result<Solved, String>>);

/// A state, and a switch with the position in which it is held.
type Held = (Id<State>, Id<Switch>, String);

impl Opened {
    /// The switches that take a coil's volts away in a state, each with the first position that does; else why none of them
    /// could be told.
    fn of(
        &mut self,
        making: Making<'_>,
        state: &State,
        coil: &Part,
        (at, against): (Id<Cavity>, End),
    ) -> Result<Vec<SwitchPosition>, String> {
        let book = making.see.book();
        let PartKind::Coil {
            pull_in_v,
            drop_out_v,
            ..
        } = coil.kind
        else {
            return Ok(Vec::new());
        };
        let holds_v = drops_out_v(pull_in_v, drop_out_v).unwrap_or(1.0);
        let about = book.all::<About>().values().next();
        let Some(supply_v) = state.supply_v.or(about.map(|a| a.supply.nominal_v)) else {
            return Err("missing the usual supply voltage".to_owned());
        };
        let mut switches: Vec<&Switch> = book
            .all::<Switch>()
            .values()
            .filter(|switch| switch.kind == SwitchKind::Switch)
            .collect();
        switches.order_by(|switch| &switch.label);
        let (mut found, mut unsolved) = (Vec::new(), None);
        for switch in switches {
            let told = state.switches.iter().find(|s| s.switch == switch.id);
            let now = told.map(|s| &s.position).or(switch.positions.first());
            let moves: Vec<&Vec<String>> = operated_in(making, switch).collect();
            for position in switch.positions.iter().filter(|p| Some(*p) != now) {
                let is = |at: &String| moves.iter().map(|of| of.contains(at)).collect::<Vec<bool>>();
                // A position in which all its contacts stand as they do needs no solving.
                if now.is_some_and(|now| is(now) == is(position)) {
                    continue;
                }
                let held = SwitchPosition {
                    switch: switch.id,
                    position: position.clone(),
                };
                let key = (state.id, switch.id, position.clone());
                let solved = self
                    .0
                    .entry(key)
                    .or_insert_with(|| Solved::of(making.see, &holding(state, &held), &[supply_v]));
                let gone = match solved {
                    Ok(solved) => solved.first_v(at, against).is_none_or(|v| v.abs() < holds_v),
                    Err(why) => {
                        unsolved.get_or_insert_with(|| why.clone());
                        false
                    }
                };
                if gone {
                    found.push(held);
                    break;
                }
            }
        }
        match unsolved {
            Some(why) if found.is_empty() => Err(why),
            _ => Ok(found),
        }
    }
}

fn operated_in<'a>(making: Making<'a>, switch: &Switch) -> impl Iterator<Item = &'a Vec<String>> {
    let id = switch.id;
    let parts = making.see.book().all::<Part>().values();
    parts.filter_map(move |part| match &part.kind {
        PartKind::Contact {
            driver: Driver::Switch { switch, operated_in },
            ..
        } if *switch == id => Some(operated_in),
        _ => None,
    })
}

/// How long the precharge takes until the main contactor closes, from the settings; the pack itself is not measured here.
pub(super) fn precharge(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    let book = making.see.book();
    let mut listed = nothing(
        "the pack's volts: cannot tell: above 60 V; read in the controller by a person licensed for it, 90 % or more \
         before the main contactor closes"
            .to_owned(),
    );
    if precharge_outputs(book).next().is_none() {
        listed.untold.push("no output is said to precharge".to_owned());
        return listed;
    }
    let state = roles.states.iter().find(|state| roles.rung(state) == "P8");
    let Some(state) = state else {
        listed
            .untold
            .push("cannot tell: missing a state in which the bus is being charged".to_owned());
        return listed;
    };
    let on_the_way = roles.contactors.iter().find(|coil| {
        roles.pulled_in(coil).is_some_and(|first| first.id == state.id) && cavities(coil).is_some()
    });
    if let Some((coil, (at, against))) = on_the_way.and_then(|coil| Some((coil, cavities(coil)?))) {
        let expected = match precharge_given(book) {
            Ok((least, most)) => Expected::within(least, most),
            Err(missing) => Expected::CannotTell(missing.to_owned()),
        };
        let mut test = Test::live(making, TestKind::Precharge, (at, against), state.id, expected);
        test.hint = format!("from {} pulling in to the main contactor's click", coil.label);
        listed.tests.push(test);
    } else {
        listed.untold.push(format!(
            "cannot tell: missing a contactor that {} is the first to pull in, with places for both leads",
            state.label
        ));
    }
    listed
}
