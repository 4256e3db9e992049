//! The order of work: at a connector, and from the drums.

use std::collections::BTreeMap;

use super::cut_m;
use crate::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, Connector, Id, SignalKind, Wire, WireColour, WireEnd},
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
    wires.order_by(|w| natural(&w.label));
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

/// The ends of wires at a connector as the hands take them: grounds first, the wires of a pair together, else row by row.
pub fn ends_in_order(book: &Book, connector: Id<Connector>) -> Vec<(Id<Wire>, WireEnd)> {
    let face = book.face_of(connector);
    let rank: BTreeMap<String, usize> = face.numbers().map(str::to_lowercase).zip(0..).collect();
    let place = |c: &Cavity| rank.get(&c.number.to_lowercase()).copied().unwrap_or(usize::MAX);
    let mut cavities = book.cavities_of(connector);
    cavities.order_by(|c| (!is_ground(c), place(c)));
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
