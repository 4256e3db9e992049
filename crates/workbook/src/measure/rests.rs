//! What a reading rests on: the wires it tested with their ends and contacts, and the state; when that is changed, it lapses.

use std::collections::BTreeSet;

use super::test::Test;
use crate::{
    Book,
    model::{
        Cavity, ChassisPath, Connector, Decision, End, Id, Junction, Key, Kind, Part, Reading, Rest, State,
        Terminal, TestKind, Wire,
    },
    plan::rests::{Fact, fact, figure, told, wire_facts},
    signals::Nets,
};

/// What a reading of this test rests on.
pub(super) fn rests(book: &Book, test: &Test) -> Vec<Rest> {
    let mut keys: BTreeSet<Key> = BTreeSet::from([Key::of(test.at)]);
    if let End::Cavity(id) = test.against {
        keys.insert(Key::of(id));
    }
    keys.extend(test.state.map(Key::of));
    wires_and_ends(book, &test.wires, &mut keys);
    let coil = matches!(
        test.kind,
        TestKind::CoilOn | TestKind::CoilOff | TestKind::Release
    );
    if test.wires.is_empty() && test.state.is_none() || coil {
        // What lies across the two leads: a coil, a potentiometer.
        let parts = book.index().parts_at.of(&Terminal::Cavity(test.at));
        keys.extend(parts.iter().map(|(part, _)| Key::of(*part)));
    }
    keys.into_iter()
        .flat_map(|key| facts(book, key))
        .map(|fact| fact.rest)
        .collect()
}

fn wires_and_ends(book: &Book, wires: &[Id<Wire>], keys: &mut BTreeSet<Key>) {
    for wire in wires.iter().filter_map(|id| book.get(*id)) {
        keys.insert(Key::of(wire.id));
        for end in [wire.from, wire.to].into_iter().filter_map(End::terminal) {
            match end {
                Terminal::Cavity(id) => keys.insert(Key::of(id)),
                Terminal::Junction(id) => keys.insert(Key::of(id)),
                Terminal::Inner { .. } => false,
            };
        }
    }
}

/// The records a reading rests on. One that was entered without saying so rests on the wires of its net and on its state.
pub(crate) fn keys_of(book: &Book, reading: &Reading, nets: &mut Option<Nets>) -> BTreeSet<Key> {
    if !reading.rested_on.is_empty() {
        return reading.rested_on.iter().map(|rest| rest.on).collect();
    }
    let nets = nets.get_or_insert_with(|| Nets::of(book));
    let mut keys: BTreeSet<Key> = BTreeSet::from([Key::of(reading.at_cavity)]);
    keys.extend(reading.state.map(Key::of));
    if let Some(net) = nets.at_cavity(reading.at_cavity).and_then(|net| nets.get(net)) {
        wires_and_ends(book, &net.wires, &mut keys);
    }
    keys
}

/// How a record differs from what it was, in words; empty: in nothing that a reading rests on.
pub(crate) fn changed(before: &Book, after: &Book, key: Key) -> Vec<String> {
    let old = facts(before, key);
    if old.is_empty() {
        return Vec::new();
    }
    if !after.tables().has(key) {
        return vec![format!("{} was taken out", before.name_of(key))];
    }
    let new = facts(after, key);
    old.iter()
        .filter_map(|old| {
            let now = new.iter().find(|now| now.rest.group == old.rest.group)?;
            (now.same != old.same).then(|| told(before, &old.rest, &now.rest))
        })
        .collect()
}

/// What of a record a reading can rest on.
fn facts(book: &Book, key: Key) -> Vec<Fact> {
    match key.kind {
        Kind::Wire => of(book, key, |w: &Wire| {
            let mut facts = wire_facts(book, w);
            let fuse = w.inline_fuse.map(|inline| inline.fuse);
            let mut inline = fact(
                key,
                "inline fuse",
                fuse.map_or("none".to_owned(), |id| book.label_of(id)),
            );
            inline.same = format!("{fuse:?}");
            facts.push(inline);
            facts
        }),
        Kind::Cavity => of(book, key, |c: &Cavity| cavity(book, c)),
        Kind::Junction => of(book, key, |j: &Junction| {
            let wires = book.index().wires_at_junction.of(&j.id);
            vec![list(book, key, wires.iter().map(|(wire, _)| *wire))]
        }),
        Kind::Connector => of(book, key, |c: &Connector| vec![fact(key, "face", c.face.clone())]),
        Kind::ChassisPath => of(book, key, |p: &ChassisPath| {
            vec![figure(key, "resistance", Some(p.resistance_ohm), "Ω")]
        }),
        Kind::Part => of(book, key, |p: &Part| {
            let mut figures = fact(key, "figures", p.kind.words().to_owned());
            figures.same = format!("{:?} {:?}", p.kind, p.ends);
            vec![figures]
        }),
        Kind::State => of(book, key, |s: &State| {
            let mut positions = fact(key, "positions", s.words.clone());
            positions.same = format!("{:?} {:?} {:?}", s.switches, s.parts, s.supply_v);
            vec![positions]
        }),
        _ => Vec::new(),
    }
}

fn of<R: crate::model::Row>(book: &Book, key: Key, facts: impl FnOnce(&R) -> Vec<Fact>) -> Vec<Fact> {
    key.as_id::<R>()
        .and_then(|id| book.get(id))
        .map(facts)
        .unwrap_or_default()
}

fn cavity(book: &Book, cavity: &Cavity) -> Vec<Fact> {
    let key = Key::of(cavity.id);
    let wires = book.index().wires_at_cavity.of(&cavity.id);
    let mut contact = fact(
        key,
        "contact",
        cavity
            .contact
            .map_or("not given".to_owned(), |id| book.label_of(id)),
    );
    contact.same = format!("{:?}", cavity.contact);
    let bridge = match cavity.decision {
        Decision::Bridged { to } => Some(to),
        _ => None,
    };
    let mut bridged = fact(
        key,
        "bridge",
        bridge.map_or("none".to_owned(), |id| book.cavity_name(id)),
    );
    bridged.same = format!("{bridge:?}");
    vec![
        contact,
        bridged,
        fact(key, "number", cavity.number.clone()),
        figure(key, "sensor", cavity.limits.sensor_ohm, "Ω"),
        list(book, key, wires.iter().map(|(wire, _)| *wire)),
    ]
}

fn list(book: &Book, key: Key, wires: impl Iterator<Item = Id<Wire>> + Clone) -> Fact {
    let labels: Vec<String> = wires.clone().map(|wire| book.label_of(wire)).collect();
    let mut told = fact(key, "wires", labels.join(", "));
    told.same = wires.map(|wire| format!("{wire} ")).collect();
    told
}
