//! Across what is at the wires' ends, power off: CAN pairs at this stage of the build, coils, potentiometers, sensors, rails.

use crate::book::InOrder;
use crimpbook_core::{conductor::copper_factor, signal::pair_resistance_ohm};

use super::{
    loom::joined,
    sensor,
    test::{Expected, Known, Listed, METER_OHM, Test},
    ways::{self, Through, Ways},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Cavity, Connector, End, LoadMode, Part, PartKind, SignalKind, Suppression, Terminal, TestKind},
    plan::Progress,
};

/// Tolerance of a coil's resistance (common practice, no source).
const COIL_SHARE: f64 = 0.1;
/// Tolerance of a potentiometer's resistance (common practice, no source).
const POT_SHARE: f64 = 0.2;
/// About 56 to 64 Ω across two terminators (common practice, no source).
const CAN_SHARE: f64 = 0.07;
/// Without a terminator the transceivers show more than this, Ω (common practice, no source).
const NO_TERMINATOR_OHM: f64 = 1000.0;
/// A rail without a load shows more than this to ground, Ω (common practice, no source).
const RAIL_OHM: f64 = 1000.0;

/// The tests.
pub(super) fn tests(see: &Snapshot, known: &Known) -> Listed {
    let book = see.book();
    let mut listed = Listed::default();
    can(book, &mut listed);
    let mut parts: Vec<&Part> = book.all::<Part>().values().collect();
    parts.order_by(|p| crate::book::natural(&p.label));
    for part in parts {
        match &part.kind {
            PartKind::Coil { .. } => {
                across(book, part, [0, 1], TestKind::Coil, coil(&part.kind), &mut listed)
            }
            PartKind::Potentiometer { ohm } => {
                let whole = Expected::within(ohm * (1.0 - POT_SHARE), ohm * (1.0 + POT_SHARE));
                across(book, part, [0, 1], TestKind::Potentiometer, whole, &mut listed);
                let wiper = Expected::within(0.0, ohm * (1.0 + POT_SHARE));
                across(book, part, [0, 2], TestKind::Potentiometer, wiper, &mut listed);
            }
            PartKind::FuseWay { .. } => rail(see, part, &mut listed),
            _ => {}
        }
    }
    sensor::tests(book, known, &mut listed);
    listed
}

fn coil(kind: &PartKind) -> Expected {
    let PartKind::Coil {
        ohm,
        hold_a,
        suppression,
        ..
    } = kind
    else {
        return Expected::CannotTell(String::new());
    };
    if hold_a.is_some() {
        return Expected::CannotTell(
            "an economiser stands before this coil, its ohms say nothing: measure what it draws".to_owned(),
        );
    }
    if *suppression == Some(Suppression::Resistor) {
        return Expected::CannotTell("missing the ohms of the resistor across this coil".to_owned());
    }
    Expected::within(
        ohm * (1.0 - COIL_SHARE) * copper_factor(10.0) - METER_OHM,
        ohm * (1.0 + COIL_SHARE) * copper_factor(40.0) + METER_OHM,
    )
}

/// Adds a test across two ends of a part, or says that a lead has no place there.
fn across(
    book: &Book,
    part: &Part,
    ends: [usize; 2],
    kind: TestKind,
    expected: Expected,
    listed: &mut Listed,
) {
    let places: Vec<Option<End>> = ends.iter().map(|at| part.ends.get(*at).and_then(place)).collect();
    let (at, against) = match places.as_slice() {
        [Some(End::Cavity(at)), Some(other)] => (*at, *other),
        [Some(other), Some(End::Cavity(at))] => (*at, *other),
        _ => {
            let inside = ends.iter().zip(&places).find(|(_, place)| place.is_none());
            let name = inside
                .and_then(|(at, _)| part.ends.get(*at))
                .map_or_else(|| "an end".to_owned(), |end| book.terminal_name(end));
            listed.untold.push(format!(
                "{}: cannot tell: {name} is inside, a lead has no place there",
                part.label
            ));
            return;
        }
    };
    let mut test = Test::ohms(kind, at, against, expected);
    test.hint = match (kind, &part.kind) {
        (TestKind::Potentiometer, _) if ends == [0, 2] => {
            format!("{}: the wiper moves smoothly from end to end", part.label)
        }
        (
            _,
            PartKind::Coil {
                suppression: Some(Suppression::Diode | Suppression::DiodeZener),
                ..
            },
        ) => format!("{}: on the diode range 0.5 to 0.7 one way round only", part.label),
        _ => part.label.clone(),
    };
    listed.tests.push(test);
}

/// Where a lead can go for an end of a part: its case is chassis.
fn place(terminal: &Terminal) -> Option<End> {
    match terminal {
        Terminal::Cavity(id) => Some(End::Cavity(*id)),
        Terminal::Junction(id) => Some(End::Junction(*id)),
        Terminal::Inner { node, .. } => (node == "case").then_some(End::Free),
    }
}

/// Across each pair, with the terminators that the build has joined to it so far.
fn can(book: &Book, listed: &mut Listed) {
    let ways = Ways::of(
        book,
        Through {
            chassis: false,
            joints: true,
        },
    );
    for (_, cavities) in joined(book) {
        let of_kind = |kind| cavities.iter().find(|c| c.kind == Some(kind));
        let (Some(high), Some(low)) = (of_kind(SignalKind::CanHigh), of_kind(SignalKind::CanLow)) else {
            continue;
        };
        let (to_high, to_low) = (
            ways.from(&Terminal::Cavity(high.id)),
            ways.from(&Terminal::Cavity(low.id)),
        );
        let (mut all, mut present) = (Vec::new(), Vec::new());
        for part in book.all::<Part>().values() {
            let (PartKind::Terminator { ohm }, [a, b]) = (&part.kind, part.ends.as_slice()) else {
                continue;
            };
            let way = match (to_high.get(a), to_low.get(b), to_high.get(b), to_low.get(a)) {
                (Some(one), Some(other), ..) | (_, _, Some(one), Some(other)) => [one, other],
                _ => continue,
            };
            all.push(*ohm);
            let wires = way.iter().flat_map(|way| ways::wires(way));
            let built = |wire| Progress::of_wire(book, wire).is_complete();
            if wires.clone().all(built) {
                present.push(*ohm);
            }
        }
        let expected = match (all.is_empty(), present.is_empty()) {
            (true, _) => Expected::CannotTell("missing the terminators of this bus".to_owned()),
            (_, true) => Expected::Within {
                least: Some(NO_TERMINATOR_OHM),
                most: None,
            },
            _ => {
                let ohm = pair_resistance_ohm(&present);
                Expected::within(ohm * (1.0 - CAN_SHARE), ohm * (1.0 + CAN_SHARE))
            }
        };
        let mut test = Test::ohms(TestKind::Can, high.id, End::Cavity(low.id), expected);
        if !all.is_empty() {
            test.hint = format!(
                "{} of {} terminators are built in; with all {:.0} Ω. A good value does not show a stub",
                present.len(),
                all.len(),
                pair_resistance_ohm(&all)
            );
        }
        listed.tests.push(test);
    }
}

/// A fused rail to ground before its fuse goes in, plugs on.
fn rail(see: &Snapshot, part: &Part, listed: &mut Listed) {
    let book = see.book();
    let Some(Terminal::Cavity(at)) = part.ends.get(1) else {
        return;
    };
    let cavity: Option<&Cavity> = book.get(*at);
    let connector = cavity.and_then(|c| book.get::<Connector>(c.connector));
    if connector.is_none() || !book.index().wires_at_cavity.contains_key(at) {
        return;
    }
    let nets = &see.signals().nets;
    let net = nets.at_cavity(*at).and_then(|net| nets.get(net));
    let low = net.into_iter().flat_map(|net| &net.parts).find_map(|(id, _)| {
        let part: &Part = book.get(*id)?;
        let ohms = matches!(
            part.kind,
            PartKind::Coil { .. }
                | PartKind::Lamp { .. }
                | PartKind::Contact { .. }
                | PartKind::Load {
                    mode: LoadMode::Resistance { .. } | LoadMode::Power { .. } | LoadMode::Current { .. },
                    ..
                }
        );
        ohms.then(|| part.label.clone())
    });
    let expected = match low {
        Some(label) => Expected::CannotTell(format!(
            "{label} hangs on it: few ohms may be right, below 1 Ω is a short"
        )),
        None => Expected::Within {
            least: Some(RAIL_OHM),
            most: None,
        },
    };
    let mut test = Test::ohms(TestKind::Rail, *at, End::Free, expected);
    test.hint = part.label.clone();
    listed.tests.push(test);
}
