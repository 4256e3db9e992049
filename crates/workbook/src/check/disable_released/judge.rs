//! One input under the faults of its own wiring.

use std::collections::BTreeSet;

use super::{CHECK, Root, Ways, logic};
use crate::{
    Book,
    analysis::{
        Snapshot,
        suppose::{Reads, reads},
    },
    check::{
        Figure, Finding, Level, Mend, Out,
        common::words::{cavity as named, list, number},
    },
    circuit::{Upset, operate_upset},
    model::{
        About, Cavity, Driver, Id, Limits, OutputSide, Part, PartKind, Pull, PullTo, SignalKind, Switch, Wire,
    },
    rules::{Meaning, meaning},
    signals::OriginKind,
};

/// Judges one input of what a root rests on.
pub(super) fn input(see: &Snapshot, root: &Root, cavity: &Cavity, ways: Ways, out: &mut Out) {
    let book = see.book();
    // What counts both ways (two directions of which but one may be on) is for the rules to prove.
    let blocks_when_on = match (ways.lets, ways.holds) {
        (false, true) => true,
        (true, false) => false,
        _ => return,
    };
    let supply_v = book
        .all::<About>()
        .values()
        .next()
        .map_or(12.6, |a| a.supply.nominal_v);
    let Some(open_v) = open_volts(cavity, supply_v) else {
        return;
    };
    let is = |volts: Option<f64>| reading(cavity, volts);
    let lets_go = |r: Reads| {
        if blocks_when_on {
            r != Reads::On
        } else {
            r != Reads::Off
        }
    };
    let nets = &see.signals().nets;
    let Some(net) = nets.at_cavity(cavity.id).and_then(|id| nets.get(id)) else {
        return;
    };
    if net.wires.is_empty() || seen_twice(see, root, cavity) {
        return;
    }
    let open = is(open_v.volts);
    if !lets_go(open) {
        // An opening is safe; a permit that is active at ground is given by a chafe to chassis as well.
        if !blocks_when_on && lets_go(is(Some(0.0))) {
            chafe(see, root, cavity, out);
        }
        return;
    }
    let wires: Vec<String> = net.wires.iter().map(|w| book.label_of::<Wire>(*w)).collect();
    let mut also = vec!["its source without power".to_owned()];
    if lets_go(is(Some(0.0))) {
        also.push("the wire to chassis".to_owned());
    }
    if lets_go(is(Some(supply_v))) {
        also.push("the wire to supply".to_owned());
    }
    let computed_v = with_wire_off(see, cavity, net.wires.first().copied(), blocks_when_on);
    let volts = computed_v.as_ref().map(|(v, _)| *v).or(open_v.volts);
    let level = volts.map_or_else(|| "floats".to_owned(), |v| format!("goes to {} V", number(v)));
    let sentence = format!(
        "{} open: {} {level}{}, reads {}, and {} may come true{}.",
        list(&wires),
        named(book, cavity),
        open_v.by,
        open.words(),
        root.expression.label,
        computed_v.map_or_else(String::new, |(_, state)| format!(" in {state}")),
    );
    let mut finding = Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
        .with(net.wires.iter().copied())
        .matters(format!(
            "A wire that breaks is not seen: it only no longer holds back what it was laid for. The same with {}.",
            list(&also)
        ))
        .mend(Mend::words(if blocks_when_on {
            "a permit instead: 12 V through a contact that is closed only while it is safe, into an input with a pull-down that must be on; turning the sense round alone is no mend"
        } else {
            "an input that a broken wire leaves off, or a pull that brings it there"
        }))
        .source(CHECK.source);
    if let Some(volts) = volts {
        finding = finding.figure(Figure::plain("with the wire off", volts, "V"));
    }
    out.find(finding);
}

fn chafe(see: &Snapshot, root: &Root, cavity: &Cavity, out: &mut Out) {
    let book = see.book();
    let sentence = format!(
        "{} is on at ground: its wire touching chassis lets {} come true.",
        named(book, cavity),
        root.expression.label
    );
    out.find(
        Finding::new(CHECK.name, Level::Note, cavity.id, sentence)
            .matters("A broken wire is safe here, a chafed one is not.")
            .source(CHECK.source),
    );
}

/// Where an input goes with its wire off.
struct Open {
    volts: Option<f64>,
    by: &'static str,
}

fn open_volts(cavity: &Cavity, supply_v: f64) -> Option<Open> {
    let Limits { pull, .. } = cavity.limits;
    let to = pull.map(|Pull { to, .. }| to);
    Some(match (to, cavity.kind?) {
        (Some(PullTo::Ground), _) => Open {
            volts: Some(0.0),
            by: " by its pull-down",
        },
        (Some(PullTo::FiveVolts), _) => Open {
            volts: Some(5.0),
            by: " by its pull-up",
        },
        (Some(PullTo::Supply), _) => Open {
            volts: Some(supply_v),
            by: " by its pull-up",
        },
        (Some(PullTo::Nothing), _) | (None, SignalKind::DigitalInBare) => Open { volts: None, by: "" },
        (None, SignalKind::DigitalInLow) => Open {
            volts: Some(supply_v),
            by: " by the pull-up of its kind",
        },
        (None, _) => Open {
            volts: Some(0.0),
            by: " by the pull-down of its kind",
        },
    })
}

/// What the unit reads; where the manual gives no thresholds, by the kind.
fn reading(cavity: &Cavity, volts: Option<f64>) -> Reads {
    if let Some(known) = reads(&cavity.limits, volts) {
        return known;
    }
    let low_is_on = cavity.kind == Some(SignalKind::DigitalInLow);
    match volts {
        Some(v) if (v < 1.0) == low_is_on => Reads::On,
        Some(_) => Reads::Off,
        None => Reads::Undefined,
    }
}

/// The voltage with the wire off in the first state in which the input holds back and its pull is alive, and the state.
fn with_wire_off(
    see: &Snapshot,
    cavity: &Cavity,
    wire: Option<Id<Wire>>,
    blocks_when_on: bool,
) -> Option<(f64, String)> {
    let at = see.wiring().wire_at(wire?)?;
    let ground = see.wiring().ground_of(see.unit_of(cavity.id)?)?;
    let node = see.wiring().nodes.unit_side(cavity.id)?;
    let holds = if blocks_when_on { Reads::On } else { Reads::Off };
    let of = see.states().iter().find(|of| {
        let volts = see.cavity_volts(of, cavity.id).own_ground_v;
        let pulled = of.operated.wire_a(at).abs() > PULLED_A;
        volts.is_some() && reading(cavity, volts) == holds && pulled
    })?;
    let off = Upset {
        open_wires: vec![at],
        ..Upset::default()
    };
    let copper = of.temperatures.copper();
    let operated = operate_upset(&see.given(of, &of.stands), &off, copper, |_, _| false).ok()?;
    Some((operated.between(node, ground)?, see.book().label_of(of.state)))
}

/// The current of a pull that is alive, A (our own: 12 V over a megohm).
const PULLED_A: f64 = 1e-5;

/// Whether a second input of the same expression sees the same switch over wires of its own.
fn seen_twice(see: &Snapshot, root: &Root, cavity: &Cavity) -> bool {
    let nets = &see.signals().nets;
    let own = switches(see, cavity.id);
    root.inputs.keys().any(|other| {
        let elsewhere = nets.at_cavity(*other) != nets.at_cavity(cavity.id);
        let wired = see.book().get(*other).is_some_and(super::is_wired);
        elsewhere && wired && !own.is_disjoint(&switches(see, *other))
    })
}

/// The switches, leads and conditions that decide an input's level.
fn switches(see: &Snapshot, cavity: Id<Cavity>) -> BTreeSet<Id<Switch>> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let mut found = BTreeSet::new();
    let Some(net) = nets.at_cavity(cavity) else {
        return found;
    };
    // The contact next to the input decides; those that feed it as well decide over more than this input.
    let passed = nets
        .get(net)
        .into_iter()
        .flat_map(|n| n.parts.iter().map(|(id, _)| *id));
    for part in passed.filter_map(|id| book.get(id)) {
        if let PartKind::Contact {
            driver: Driver::Switch { switch, .. },
            ..
        } = &part.kind
        {
            found.insert(*switch);
        }
    }
    for origin in nets.origins(net) {
        if let OriginKind::Output(
            OutputSide::LowSide | OutputSide::OpenCollector | OutputSide::HighSide | OutputSide::PushPull,
        ) = origin.kind
            && let Some(Part {
                kind: PartKind::Output { when, .. },
                ..
            }) = book.get(origin.part)
        {
            facts(book, when, 0, &mut found);
        }
    }
    found
}

/// The switches that an expression names, through all that it names.
fn facts(book: &Book, text: &str, depth: usize, found: &mut BTreeSet<Id<Switch>>) {
    if depth > 6 {
        return;
    }
    for (name, _) in logic::names(text) {
        match meaning(book, &name) {
            Some(Meaning::Switch(switch)) => {
                found.insert(switch);
            }
            Some(Meaning::Expression(id)) => {
                if let Some(expression) = book.get(id) {
                    facts(book, &expression.text, depth + 1, found);
                }
            }
            _ => {}
        }
    }
}
