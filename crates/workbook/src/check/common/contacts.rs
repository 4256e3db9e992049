//! Whether the contacts at a wire's ends take a size, and the sizes to try.

use crimpbook_core::tables::sizes::standard_sizes_above;

use super::words::{list, number};
use crate::{
    Book,
    analysis::Snapshot,
    check::{Mend, Proposals},
    edit::Change,
    model::{Cavity, ContactFamily, End, Id, Wire},
};

/// A gauge may pass the end of a contact's range by this share and still be meant by it (20 AWG in 0.5 mm²; our own).
const GAUGE_SLACK: f64 = 0.05;

/// The contact families at a wire's ends.
pub fn families<'a>(book: &'a Book, wire: &Wire) -> impl Iterator<Item = (Id<Cavity>, &'a ContactFamily)> {
    [wire.from, wire.to].into_iter().filter_map(|end| match end {
        End::Cavity(id) => {
            let cavity = book.get(id)?;
            Some((id, book.get(cavity.contact?)?))
        }
        End::Junction(_) | End::Free => None,
    })
}

/// Whether a contact takes this size; yes where its range is not told.
pub fn takes(family: &ContactFamily, area_mm2: f64) -> bool {
    family
        .least_mm2
        .is_none_or(|least| area_mm2 >= least * (1.0 - GAUGE_SLACK))
        && family
            .most_mm2
            .is_none_or(|most| area_mm2 <= most * (1.0 + GAUGE_SLACK))
}

/// The cavities at a wire's ends that do not take a size.
pub fn refusing(book: &Book, wire: &Wire, area_mm2: f64) -> Vec<Id<Cavity>> {
    families(book, wire)
        .filter(|(_, family)| !takes(family, area_mm2))
        .map(|(cavity, _)| cavity)
        .collect()
}

/// The wire at a place of the wiring.
pub fn wire_at(see: &Snapshot, at: usize) -> Option<&Wire> {
    see.book().get(see.wiring().wires.get(at)?.wire)
}

/// The standard sizes above a wire's own, thinnest first, mm².
pub fn thicker(wire: &Wire) -> impl Iterator<Item = f64> {
    let area_mm2 = crate::circuit::size_of(wire).map_or(f64::INFINITY, |s| s.area_mm2());
    standard_sizes_above(area_mm2).map(|row| row.size_mm2)
}

/// The wire with another size.
pub fn resized(wire: &Wire, area_mm2: f64) -> Wire {
    Wire {
        area_mm2: Some(area_mm2),
        size_written: String::new(),
        ..wire.clone()
    }
}

/// Ways out by a thicker wire: the thinnest standard size that `does` it and that both contacts take; where a contact
/// refuses, what else has to change.
pub fn thicker_mends(see: &Snapshot, wire: &Wire, does: impl Fn(f64) -> bool) -> Proposals {
    let book = see.book();
    let mut proposals = Proposals::default();
    for area_mm2 in thicker(wire).filter(|area| does(*area)) {
        let refusing = refusing(book, wire, area_mm2);
        if refusing.is_empty() {
            proposals.mends.push(Mend {
                words: format!("{}: {} mm²", wire.label, number(area_mm2)),
                changes: vec![Change::replace(wire.clone(), resized(wire, area_mm2))],
            });
        } else if proposals.otherwise.is_none() {
            let cavities: Vec<String> = refusing.iter().map(|c| book.cavity_name(*c)).collect();
            proposals.otherwise = Some(Mend::words(format!(
                "{}: {} mm² would do, but {} {} it; change the contact too",
                wire.label,
                number(area_mm2),
                list(&cavities),
                if cavities.len() == 1 {
                    "does not take"
                } else {
                    "do not take"
                },
            )));
        }
    }
    proposals
}
