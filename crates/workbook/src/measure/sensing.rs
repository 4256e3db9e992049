//! Sensors on: what the controller gets from each at rest and at full travel.

use super::{
    joining::{begin, nothing},
    loom::joined,
    powered::{Making, Setup, Solved},
    roles::Roles,
    sensor::{Sensor, sensors},
    test::{Expected, Listed, Test},
    volts::{expected, ground_of},
};
use crate::{
    book::{InOrder, natural},
    model::{Cavity, Id, Part, PartKind, PartPosition, SignalKind, State, Terminal, TestKind, Unit},
};

/// The tests.
pub(super) fn tests(making: Making<'_>, roles: &Roles<'_>) -> Listed {
    let (controller, idle) = match begin(roles) {
        Ok(begun) => begun,
        Err(missing) => return nothing(missing),
    };
    let see = making.see;
    let units = roles.sensors(see);
    let on = |unit: &Id<Unit>| *unit == controller || units.contains(unit);
    let mut off = roles.electronic.clone();
    off.retain(|unit| !on(unit));
    let setup = Setup::without(idle, off);
    let mut moved: Vec<&Part> = see
        .book()
        .all::<Part>()
        .values()
        .filter(|part| match part.kind {
            PartKind::Ratiometric { .. } | PartKind::Potentiometer { .. } => true,
            PartKind::Output { .. } => units.contains(&part.unit),
            _ => false,
        })
        .collect();
    moved.order_by(|part| natural(&part.label));
    let hand = |full: bool| {
        let position = |part: &&Part| {
            let position = match (&part.kind, full) {
                (PartKind::Output { .. }, true) => PartPosition::On,
                (PartKind::Output { .. }, false) => PartPosition::Off,
                (_, true) => PartPosition::Travel(1.0),
                (_, false) => PartPosition::Travel(0.0),
            };
            (part.id, position)
        };
        Setup {
            moved: moved.iter().map(position).collect(),
            ..setup.clone()
        }
    };
    let ends = [
        (TestKind::AtRest, making.solve(&hand(false))),
        (TestKind::AtFull, making.solve(&hand(true))),
    ];
    let mut listed = Listed::default();
    for part in &moved {
        let end = match part.kind {
            PartKind::Output { .. } => part.ends.first(),
            _ => part.ends.get(2),
        };
        let Some(at) = end.and_then(|end| read_at(making, controller, end)) else {
            continue;
        };
        let against = ground_of(see, controller, at);
        for (kind, solved) in &ends {
            let volts = expected(solved, |solved| solved.volts(at, against));
            let mut test = Test::live(making, *kind, (at, against), idle, volts);
            test.hint = match part.kind {
                PartKind::Output { .. } => {
                    format!("{}: turned by hand, it goes from one to the other", part.label)
                }
                _ => format!("{}: smoothly from one end to the other", part.label),
            };
            listed.tests.push(test);
        }
    }
    for sensor in sensors(see.book()) {
        listed
            .tests
            .extend(temperature(making, controller, idle, &setup, &sensor));
    }
    let encoder = joined(see.book())
        .into_iter()
        .flat_map(|(connector, cavities)| cavities.into_iter().map(move |c| (connector.unit, c)))
        .any(|(unit, c)| unit == controller && c.kind == Some(SignalKind::EncoderIn));
    if encoder {
        listed
            .untold
            .push("which way the encoder counts is read in the controller itself".to_owned());
    }
    listed
}

/// The controller's input that an end is wired to, the first by name.
fn read_at(making: Making<'_>, controller: Id<Unit>, end: &Terminal) -> Option<Id<Cavity>> {
    let see = making.see;
    let nets = &see.signals().nets;
    let net = nets.get(nets.at(end)?)?;
    let mut at: Vec<Id<Cavity>> = net
        .cavities()
        .filter(|id| see.unit_of(*id) == Some(controller))
        .filter(|id| {
            let kind = see.book().get(*id).and_then(|c: &Cavity| c.kind);
            !matches!(kind, Some(SignalKind::SensorReturn | SignalKind::SensorSupply))
        })
        .collect();
    at.order_by(|id| natural(&see.book().cavity_name(*id)));
    at.first().copied()
}

/// What a temperature sensor gives, from the coldest to the warmest that it may be here.
fn temperature(
    making: Making<'_>,
    controller: Id<Unit>,
    idle: Id<State>,
    setup: &Setup,
    sensor: &Sensor<'_>,
) -> Option<Test> {
    let of = [Some(sensor.cavity), sensor.other];
    let at = of
        .into_iter()
        .flatten()
        .find_map(|cavity| read_at(making, controller, &Terminal::Cavity(cavity.id)))?;
    let against = ground_of(making.see, controller, at);
    let told = sensor.window(making.known.room_c).and_then(|ohms| {
        let part = sensor
            .part
            .ok_or_else(|| "missing the sensor's inside part".to_owned())?;
        Ok((part.id, ohms))
    });
    let expected = told.and_then(|(part, (least, most))| {
        let with = |ohm: f64| -> Result<Solved, String> {
            making.solve(&Setup {
                ohms: vec![(part, ohm)],
                ..setup.clone()
            })
        };
        let (one, other) = (with(least)?.volts(at, against), with(most)?.volts(at, against));
        Ok(both(one, other))
    });
    let expected = expected.unwrap_or_else(Expected::CannotTell);
    let mut test = Test::live(making, TestKind::AtRest, (at, against), idle, expected);
    test.hint = format!(
        "temperature sensor at {}, in a workshop",
        making.see.book().cavity_name(sensor.cavity.id)
    );
    Some(test)
}

/// From the least of two windows to the most.
fn both(one: Expected, other: Expected) -> Expected {
    match (one.bounds(), other.bounds()) {
        ((Some(a), Some(b)), (Some(c), Some(d))) => Expected::within(a.min(c), b.max(d)),
        // What cannot be told of one of them cannot be told.
        (_, (None, None)) => other,
        _ => one,
    }
}
