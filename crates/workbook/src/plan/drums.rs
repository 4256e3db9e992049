//! Which drum each wire is cut from: each wire whole from one drum, the longest first, each from the drum that is left with
//! the least, so that long pieces stay long.

use std::collections::BTreeMap;

use super::{
    cut_m,
    order::{CutGroup, cut_list},
};
use crate::{
    Book,
    book::{InOrder, natural},
    model::{About, Drum, Id, Wire, WireColour},
};

/// Areas that differ by less than this share are one size: what is read in mm² and in AWG does not meet to the last digit.
const SAME_SIZE: f64 = 0.02;

/// What is cut from one drum.
#[derive(Debug, Clone, PartialEq)]
pub struct FromDrum {
    /// The drum; none: no drum in stock holds these.
    pub drum: Option<Id<Drum>>,
    /// The wires, by label.
    pub wires: Vec<Id<Wire>>,
    /// What they need with waste, m.
    pub needs_m: f64,
    /// What the drum has left once every wire that is cut from it is cut, m.
    pub left_m: Option<f64>,
}

/// Metres left on each drum.
pub type Left = BTreeMap<Id<Drum>, f64>;

/// The cut list with the drums of each group; `waste` is the share that is cut off or cut wrong.
pub fn from_drums(book: &Book, waste: f64) -> (Vec<(CutGroup, Vec<FromDrum>)>, Left) {
    let mut left: Left = book.all::<Drum>().values().map(|d| (d.id, d.stock_m)).collect();
    let mut groups: Vec<(CutGroup, Vec<FromDrum>)> = Vec::new();
    for group in cut_list(book) {
        let drums = match (group.area_mm2, group.colour) {
            (Some(area), Some(colour)) => drums_of(book, area, group.insulation_class_c)
                .into_iter()
                .filter(|d| d.colour == Some(colour))
                .map(|d| d.id)
                .collect(),
            _ => Vec::new(),
        };
        let parts = share_out(book, &group, &drums, waste, &mut left);
        groups.push((group, parts));
    }
    for (_, parts) in &mut groups {
        for part in parts {
            part.left_m = part.drum.and_then(|id| left.get(&id).copied());
        }
    }
    (groups, left)
}

/// Drums of a size that bear a class, by label. Where a class is told by neither the drum nor the workbook it is no hindrance.
pub(super) fn drums_of(book: &Book, area_mm2: f64, class_c: Option<f64>) -> Vec<&Drum> {
    let usual = book
        .all::<About>()
        .values()
        .next()
        .and_then(|a| a.insulation_class_c);
    let needed = class_c.or(usual);
    let mut all: Vec<&Drum> = book
        .all::<Drum>()
        .values()
        .filter(|d| (d.area_mm2 / area_mm2 - 1.0).abs() < SAME_SIZE)
        .filter(|d| match (d.insulation_class_c.or(usual), needed) {
            (Some(bears), Some(needed)) => bears >= needed,
            _ => true,
        })
        .collect();
    all.order_by(|d| natural(&d.label));
    all
}

fn share_out(
    book: &Book,
    group: &CutGroup,
    drums: &[Id<Drum>],
    waste: f64,
    left: &mut Left,
) -> Vec<FromDrum> {
    let needs = |id: &Id<Wire>| {
        let wire = book.get(*id)?;
        cut_m(book, wire).map(|m| m * (1.0 + waste))
    };
    let mut longest: Vec<&Id<Wire>> = group.wires.iter().collect();
    longest.sort_by(|a, b| needs(b).unwrap_or(0.0).total_cmp(&needs(a).unwrap_or(0.0)));
    let mut drum_of: BTreeMap<Id<Wire>, Id<Drum>> = BTreeMap::new();
    for wire in longest {
        let Some(length) = needs(wire) else { continue };
        let fits = drums
            .iter()
            .filter_map(|id| Some((*id, *left.get(id)?)))
            .filter(|(_, m)| *m >= length);
        if let Some((drum, m)) = fits.min_by(|a, b| a.1.total_cmp(&b.1)) {
            left.insert(drum, m - length);
            drum_of.insert(*wire, drum);
        }
    }
    let mut parts: Vec<FromDrum> = Vec::new();
    let places = drums.iter().copied().map(Some).chain([None]);
    for drum in places {
        let wires: Vec<Id<Wire>> = group
            .wires
            .iter()
            .filter(|w| drum_of.get(w).copied() == drum)
            .copied()
            .collect();
        if !wires.is_empty() {
            parts.push(FromDrum {
                drum,
                needs_m: wires.iter().filter_map(needs).sum(),
                wires,
                left_m: None,
            });
        }
    }
    parts
}

/// Metres in stock of what a group is cut from; none where no drum of it is entered.
pub fn in_stock_m(book: &Book, group: &CutGroup) -> Option<f64> {
    let colour: WireColour = group.colour?;
    let drums = drums_of(book, group.area_mm2?, group.insulation_class_c);
    let metres: Vec<f64> = drums
        .into_iter()
        .filter(|d| d.colour == Some(colour))
        .map(|d| d.stock_m)
        .collect();
    (!metres.is_empty()).then(|| metres.iter().sum())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;
    use proptest::prelude::*;

    fn red(lengths: &[f64], drums: &[f64]) -> Bench {
        let mut bench = Bench::new();
        for (n, length) in (1..).zip(lengths) {
            let wire = bench.wire(&format!("W{n}"), "A-1", "B-1", 0.5, *length);
            bench.edit(wire, |w: &mut Wire| w.colour = "RD".parse().ok());
        }
        for (n, metres) in (1..).zip(drums) {
            bench.drum(&format!("D{n}"), 0.5, "RD", *metres);
        }
        bench
    }

    fn told(bench: &Bench, waste: f64) -> Vec<(String, Vec<String>)> {
        let book = bench.book();
        let (groups, _) = from_drums(&book, waste);
        let parts = groups.into_iter().flat_map(|(_, parts)| parts);
        parts
            .map(|p| {
                let drum = p.drum.map_or_else(|| "none".to_owned(), |d| book.label_of(d));
                (drum, p.wires.iter().map(|w| book.label_of(*w)).collect())
            })
            .collect()
    }

    fn said(list: &[(&str, &[&str])]) -> Vec<(String, Vec<String>)> {
        list.iter()
            .map(|(drum, wires)| {
                (
                    (*drum).to_owned(),
                    wires.iter().map(|w| (*w).to_owned()).collect(),
                )
            })
            .collect()
    }

    /// 4 and 3 m from pieces of 5 and 4 m: the 4 m wire takes the 4 m piece, the 3 m wire the other.
    #[test]
    fn the_longest_wire_takes_the_piece_that_fits_it_best() {
        let bench = red(&[3.0, 4.0], &[5.0, 4.0]);
        assert_eq!(told(&bench, 0.0), said(&[("D1", &["W1"]), ("D2", &["W2"])]));
    }

    /// With a tenth of waste 4 m need 4.4 m: no wire is ever joined from two pieces.
    #[test]
    fn waste_counts_and_no_wire_is_made_of_two_pieces() {
        let bench = red(&[4.0, 2.0], &[4.0, 2.3]);
        assert_eq!(told(&bench, 0.1), said(&[("D2", &["W2"]), ("none", &["W1"])]));
    }

    #[test]
    fn another_size_colour_or_a_lower_class_is_another_drum() {
        let mut bench = red(&[1.0], &[]);
        bench.drum("D1", 0.75, "RD", 50.0);
        bench.drum("D2", 0.5, "RD/WH", 50.0);
        let cool = bench.drum("D3", 0.5, "RD", 50.0);
        bench.edit(cool, |d: &mut Drum| d.insulation_class_c = Some(70.0));
        let wire = bench.named::<Wire>("W1");
        bench.edit(wire, |w: &mut Wire| w.insulation_class_c = Some(105.0));
        assert_eq!(told(&bench, 0.0), said(&[("none", &["W1"])]));
        bench.edit(cool, |d: &mut Drum| d.insulation_class_c = Some(125.0));
        assert_eq!(told(&bench, 0.0), said(&[("D3", &["W1"])]));
    }

    proptest! {
        /// Each wire once, from no drum more than it holds, and what is left adds up.
        #[test]
        fn nothing_is_cut_twice_or_from_thin_air(
            lengths in proptest::collection::vec(0.1..9.0_f64, 1..12),
            drums in proptest::collection::vec(0.5..20.0_f64, 0..5),
            waste in 0.0..0.5_f64,
        ) {
            let bench = red(&lengths, &drums);
            let book = bench.book();
            let (groups, left) = from_drums(&book, waste);
            let parts: Vec<&FromDrum> = groups.iter().flat_map(|(_, parts)| parts).collect();
            let mut wires: Vec<_> = parts.iter().flat_map(|p| p.wires.clone()).collect();
            wires.sort_unstable();
            let all: Vec<_> = book.all::<Wire>().keys().copied().collect();
            prop_assert_eq!(wires, all);
            prop_assert!(left.values().all(|m| *m >= 0.0));
            let cut: f64 = parts.iter().filter(|p| p.drum.is_some()).map(|p| p.needs_m).sum();
            let (had, has): (f64, f64) = (drums.iter().sum(), left.values().sum());
            prop_assert!((had - cut - has).abs() < 1e-6);
            // What no drum gave would not fit on any drum now.
            let most = left.values().copied().fold(0.0, f64::max);
            for part in parts.iter().filter(|p| p.drum.is_none()) {
                for wire in &part.wires {
                    prop_assert!(book.get(*wire).unwrap().length_m.unwrap() * (1.0 + waste) > most);
                }
            }
        }
    }
}
