//! What a wire is to the circuit.

use crimpbook_core::{
    conductor::{ConductorTable, ohm_per_m_20},
    quantity::Size,
};

use super::{Node, fuse_ohm, joint_ohm};
use crate::{
    Book,
    model::{About, End, Fuse, Id, SizeTable, Wire},
};

/// Resistance that keeps a circuit whole where a wire's size or length is not known, Ω.
const UNKNOWN_OHM: f64 = 0.001;

/// A wire between its two points.
#[derive(Debug, Clone)]
pub struct WireRun {
    /// The wire.
    pub wire: Id<Wire>,
    /// Point of its `from` end.
    pub from: Node,
    /// Point of its `to` end.
    pub to: Node,
    /// Resistance of the conductor at 20 °C, Ω; none: size or length is not known.
    pub conductor_ohm: Option<f64>,
    /// Joints to splices and studs, Ω.
    pub joints_ohm: f64,
    /// The fuse in line with it and its resistance, Ω.
    pub fuse: Option<(Id<Fuse>, f64)>,
}

impl WireRun {
    /// A wire of the book between two points.
    pub(super) fn of(book: &Book, wire: &Wire, from: Node, to: Node) -> Self {
        let joint = |end| match end {
            End::Junction(id) => joint_ohm(book.get(id)),
            End::Cavity(_) | End::Free => 0.0,
        };
        Self {
            wire: wire.id,
            from,
            to,
            conductor_ohm: conductor_ohm(book, wire),
            joints_ohm: joint(wire.from) + joint(wire.to),
            fuse: wire
                .inline_fuse
                .and_then(|f| Some((f.fuse, fuse_ohm(book.get(f.fuse)?)))),
        }
    }

    /// Resistance without its fuse, at a factor on the copper's resistance at 20 °C, Ω.
    pub fn wire_ohm(&self, copper_factor: f64) -> f64 {
        self.conductor_ohm.map_or(UNKNOWN_OHM, |ohm| ohm * copper_factor) + self.joints_ohm
    }

    /// All of it, Ω.
    pub(super) fn ohm(&self, copper_factor: f64) -> f64 {
        self.wire_ohm(copper_factor) + self.fuse.map_or(0.0, |(_, ohm)| ohm)
    }
}

/// The size of a wire: as written, else its area in mm². None: not known.
pub fn size_of(wire: &Wire) -> Option<Size> {
    let written = wire.size_written.trim();
    (!written.is_empty())
        .then(|| written.parse().ok())
        .flatten()
        .or_else(|| wire.area_mm2.and_then(Size::metric))
}

/// The table a wire's resistance is read from.
pub fn table_of(book: &Book, wire: &Wire) -> ConductorTable {
    let about = || book.all::<About>().values().next().map(|a| a.size_table);
    match wire.size_table.or_else(about).unwrap_or_default() {
        // A gauge stands in no metric table; core computes it from its own area whichever table is named.
        SizeTable::Iso6722 | SizeTable::Awg => ConductorTable::Iso6722,
        SizeTable::Iec60228Class5 => ConductorTable::Iec60228Class5,
    }
}

fn conductor_ohm(book: &Book, wire: &Wire) -> Option<f64> {
    let size = size_of(wire)?;
    let length_m = wire.length_m.filter(|m| m.is_finite() && *m > 0.0)?;
    Some(ohm_per_m_20(&size, table_of(book, wire)).ohm_per_m * length_m)
}
