//! The order of work: at a connector, from the drums, along the loom.

use std::collections::BTreeMap;

use super::progress::task;
use super::{StepOf, cut_m, of_connector, of_wire};
use crate::{
    Book,
    book::natural,
    model::{Built, Cavity, Connector, End, Id, SignalKind, Step, Wire, WireColour, WireEnd},
};

/// Wires of one drum.
#[derive(Debug, Clone, PartialEq)]
pub struct CutGroup {
    /// Conductor area, mm²; not given if absent.
    pub area_mm2: Option<f64>,
    /// Colour; not given if absent.
    pub colour: Option<WireColour>,
    /// Insulation class of its own, °C; absent: the workbook's.
    pub insulation_class_c: Option<f64>,
    /// The wires, by label.
    pub wires: Vec<Id<Wire>>,
    /// What those are cut to whose length is given, m.
    pub total_m: f64,
    /// How many have no length.
    pub without_length: usize,
}

/// The cut list: wires by size, then colour, thickest last.
pub fn cut_list(book: &Book) -> Vec<CutGroup> {
    let mut wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    wires.sort_by_cached_key(|w| natural(&w.label));
    let mut groups: BTreeMap<(u64, Option<WireColour>, u64), CutGroup> = BTreeMap::new();
    for wire in wires {
        // Positive figures sort as their bits do; none comes last.
        let bits = |v: Option<f64>| v.map_or(u64::MAX, f64::to_bits);
        let key = (bits(wire.area_mm2), wire.colour, bits(wire.insulation_class_c));
        let group = groups.entry(key).or_insert_with(|| CutGroup {
            area_mm2: wire.area_mm2,
            colour: wire.colour,
            insulation_class_c: wire.insulation_class_c,
            wires: Vec::new(),
            total_m: 0.0,
            without_length: 0,
        });
        group.wires.push(wire.id);
        match cut_m(book, wire) {
            Some(length) => group.total_m += length,
            None => group.without_length += 1,
        }
    }
    groups.into_values().collect()
}

/// Cut and label, drum by drum.
pub fn by_size_and_colour(book: &Book) -> Vec<StepOf> {
    let wires = cut_list(book).into_iter().flat_map(|group| group.wires);
    wires
        .flat_map(|wire| {
            [Step::Cut, Step::Label].map(|step| StepOf {
                of: Built::Wire(wire),
                step,
            })
        })
        .collect()
}

/// Work at one connector: grounds first, the wires of a pair together, else row by row as its face is numbered. Where each
/// wire is terminated step by step, wire by wire; else in passes, each step on all wires. A wire's tests come once its
/// other end is done; the connector's own steps come last.
pub fn by_connector(book: &Book, connector: Id<Connector>) -> Vec<StepOf> {
    let ends = ends_in_order(book, connector);
    let mut steps = Vec::new();
    for (wire, end) in &ends {
        let here = Built::End {
            wire: *wire,
            end: *end,
        };
        let whole = Built::Wire(*wire);
        let mine = of_wire(book, *wire);
        let is_test = |s: &StepOf| matches!(s.step, Step::Continuity | Step::NotShorted);
        let far_done = mine
            .iter()
            .filter(|s| s.of != here && s.of != whole)
            .all(|s| !task(book, *s).standing.is_open());
        let taken = mine
            .into_iter()
            .filter(|s| s.of == here || (s.of == whole && (!is_test(s) || far_done)));
        steps.extend(taken);
    }
    // A wire with both ends here comes up twice.
    let mut seen = std::collections::HashSet::new();
    steps.retain(|step| seen.insert(*step));
    if book.get(connector).is_none_or(|c| !c.single_steps) {
        steps.sort_by_key(|s| s.step);
    }
    steps.extend(of_connector(book, connector));
    steps
}

/// The ends of wires at a connector as the hands take them: grounds first, the wires of a pair together, else row by row.
pub fn ends_in_order(book: &Book, connector: Id<Connector>) -> Vec<(Id<Wire>, WireEnd)> {
    let face = book.face_of(connector);
    let rank: BTreeMap<String, usize> = face.numbers().map(str::to_lowercase).zip(0..).collect();
    let place = |c: &Cavity| rank.get(&c.number.to_lowercase()).copied().unwrap_or(usize::MAX);
    let mut cavities = book.cavities_of(connector);
    cavities.sort_by_key(|c| (!is_ground(c), place(c)));
    let mut ends: Vec<(Id<Wire>, WireEnd)> = Vec::new();
    let mut pairs: BTreeMap<String, usize> = BTreeMap::new();
    for cavity in cavities {
        for (wire, end) in book.index().wires_at_cavity.of(&cavity.id) {
            let pair = book.get(*wire).map_or("", |w| w.pair.as_str()).to_lowercase();
            // A later wire of a pair goes right behind the ones before it.
            let at = match pairs.get(&pair) {
                Some(last) if !pair.is_empty() => *last + 1,
                _ => ends.len(),
            };
            ends.insert(at, (*wire, *end));
            for place in pairs.values_mut().filter(|place| **place >= at) {
                *place += 1;
            }
            pairs.insert(pair, at);
        }
    }
    ends
}

fn is_ground(cavity: &Cavity) -> bool {
    matches!(cavity.kind, Some(SignalKind::Ground | SignalKind::SensorReturn))
}

/// Every wire whole, along the loom: by bundle, then by the units it joins.
pub fn by_route(book: &Book) -> Vec<StepOf> {
    let mut wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    let end = |end: End| match end {
        End::Cavity(id) => book
            .get(id)
            .map_or_else(String::new, |c| book.label_of(c.connector)),
        other => book.end_name(other),
    };
    wires.sort_by_cached_key(|w| {
        (
            // Alone in air comes after the bundles.
            w.bundle.is_none(),
            w.bundle.map_or_else(String::new, |b| book.label_of(b)),
            natural(&end(w.from)),
            natural(&end(w.to)),
            natural(&w.label),
        )
    });
    wires.into_iter().flat_map(|w| of_wire(book, w.id)).collect()
}
