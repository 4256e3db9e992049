//! What a fuse's legend needs.

use crimpbook_core::{network::Potential, tables::fuses::ratings};
use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot, StateResult,
        protect::{FuseAt, FuseZone},
    },
    book::{InOrder, natural},
    circuit::core_kind,
    model::{Fuse, Id, Wire},
};

use crate::{order::by_label, volts::far_end};

/// Above this a load side counts as live, V: more than leaks and offsets make.
const LIVE_V: f64 = 0.5;

/// Labels of the wires that the builder means this fuse to protect, or that it is in line with.
pub fn wires_meant(book: &Book, fuse: Id<Fuse>) -> Vec<String> {
    by_label::<Wire>(book)
        .into_iter()
        .filter(|w| w.fuse == Some(fuse) || w.inline_fuse.is_some_and(|f| f.fuse == fuse))
        .map(|w| w.label.clone())
        .collect()
}

/// Labels of the wires that it protects as traced, down to the next fuse; none: no source reaches it.
pub fn wires_traced(see: &Snapshot, fuse: Id<Fuse>) -> Option<Vec<String>> {
    let zone = see.protection().zone(fuse)?;
    let wires = &see.wiring().wires;
    let mut labels: Vec<String> = zone
        .wires
        .iter()
        .filter_map(|at| wires.get(*at))
        .map(|run| see.book().label_of(run.wire))
        .collect();
    labels.order_by(|label| natural(label));
    Some(labels)
}

/// Whether its load side has volts in a state; none: not known.
pub fn is_live(see: &Snapshot, fuse: Id<Fuse>, state: &StateResult) -> Option<bool> {
    let zone = see.protection().zone(fuse)?;
    match state.operated.volts(load_side(see, zone)?) {
        Potential::At(volts) => Some(volts.abs() > LIVE_V),
        Potential::Floating => Some(false),
        Potential::Unsteady { .. } => None,
    }
}

fn load_side(see: &Snapshot, zone: &FuseZone) -> Option<crimpbook_workbook::circuit::Node> {
    let wiring = see.wiring();
    match zone.at {
        // A way's ends: supply side, load side.
        FuseAt::Part(at) => wiring.parts.get(at)?.ends.get(1).copied(),
        FuseAt::Wire(at) => {
            let feed = (*see.protection().wires.get(at)?)?;
            let wire = see.book().get(wiring.wires.get(at)?.wire)?;
            wiring.nodes.beyond(far_end(wire, feed.enters_from))
        }
    }
}

/// Colour of a fuse of this kind and rating, by the published table; empty where it has none.
pub fn colour(fuse: &Fuse) -> &'static str {
    ratings(core_kind(fuse.kind))
        .find(|row| (row.rating_a - fuse.rating_a).abs() < 1e-9)
        .map_or("", |row| row.colour.as_ref())
}
