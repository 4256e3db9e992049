//! The supply tree: from the sources through fuses, contacts and splices down to the loads.
//!
//! Which fuse protects a wire is traced here, never taken from what somebody typed. Contacts are passed whether closed
//! or not, since they may close; loads, coils and lamps end the walk, since they limit what can flow behind them. A node
//! that several sources feed belongs to the one that reaches it over the least resistance; current-limited and weak
//! sources feed only what no strong source reaches.

mod beneath;
mod edges;
mod far_ends;
mod picture;
mod tree;
mod verdicts;
mod walk;
mod words;

use std::collections::HashMap;

use super::Snapshot;
use crate::{
    circuit::Node,
    model::{Fuse, Id, Junction, JunctionKind},
};
pub use beneath::{Beneath, Trial, beneath, core_fuse, wire_below};
pub(crate) use edges::{By, Edges};
pub use far_ends::{FarRow, far_ends};
pub use picture::{Picture, WireLine, picture};
pub(crate) use tree::losses;
pub use tree::{Figures, Tree, TreeRow, Twig};
pub use verdicts::{Verdicts, opens_at_once};
pub use words::{far_end_words, reason};

/// The last thing that a supply passes before it reaches a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
    /// Nothing but the source: its place in the wiring's parts.
    Source(usize),
    /// A fuse.
    Fuse(Id<Fuse>),
    /// A wire: its place in the wiring's wires.
    Wire(usize),
}

/// How a wire is fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireFeed {
    /// Place of the source in the wiring's parts.
    pub source: usize,
    /// The fuse that protects it; where it has one in line, the part of it beyond.
    pub fuse: Option<Id<Fuse>>,
    /// The fuse above one in line.
    pub before: Option<Id<Fuse>>,
    /// What the supply passes last before its near end.
    pub behind: Step,
    /// Length between the source end and a fuse in line, m; without one in line nothing.
    pub bare_m: f64,
    /// Whether current enters at its `from` end.
    pub enters_from: bool,
    /// Resistance from the source's own volts to its far end, hot, Ω.
    pub far_ohm: f64,
    /// Something downstream can really draw much: a motor, lamps, a socket.
    pub draws: bool,
    /// The most the source or an output on the way lets through, A.
    pub limited_a: Option<f64>,
}

/// A fuse and what lies beneath it, down to the next fuse.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseZone {
    /// The fuse.
    pub fuse: Id<Fuse>,
    /// The next fuse towards the source.
    pub above: Option<Id<Fuse>>,
    /// What the supply passes last before it.
    pub behind: Step,
    /// Place of the source in the wiring's parts.
    pub source: usize,
    /// Resistance from the source's own volts through the fuse, Ω.
    pub ohm: f64,
    /// Places of the wires beneath it.
    pub wires: Vec<usize>,
    /// Points beneath it.
    pub nodes: Vec<Node>,
    /// Where its current can be read.
    pub at: FuseAt,
}

/// Where a fuse sits in the wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FuseAt {
    /// A way: its place among the parts.
    Part(usize),
    /// In line with a wire: its place among the wires.
    Wire(usize),
}

/// Which fuse protects what.
#[derive(Debug, Clone, Default)]
pub struct Protection {
    /// Feed of each wire, beside the wiring's wires; none: it carries no supply (a return, or behind a load).
    pub wires: Vec<Option<WireFeed>>,
    /// Every fuse that a source reaches, nearest first.
    pub zones: Vec<FuseZone>,
    /// Resistance from the worst ground stud back to battery negative, hot, Ω.
    pub return_ohm: f64,
    /// Voltage behind each source, by its place among the parts, V.
    pub volts: HashMap<usize, f64>,
    /// What the supply passes last before each point; none: no source reaches it.
    pub behind: Vec<Option<Step>>,
}

impl Protection {
    pub(super) fn of(see: &Snapshot) -> Self {
        let edges = see.edges();
        let mut protection = walk::walk(see, edges);
        protection.return_ohm = return_ohm(see, edges);
        protection
    }

    /// The zone of a fuse.
    pub fn zone(&self, fuse: Id<Fuse>) -> Option<&FuseZone> {
        self.zones.iter().find(|z| z.fuse == fuse)
    }

    /// Places of the wires that a fuse's supply passes on its way from the source, nearest first; one in line counts.
    pub fn wires_above(&self, zone: &FuseZone) -> Vec<usize> {
        let own = match zone.at {
            FuseAt::Wire(at) => Some(at),
            FuseAt::Part(_) => None,
        };
        let mut passed: Vec<usize> = own.into_iter().collect();
        let mut step = zone.behind;
        // Each step is passed once, so that a damaged chain ends as well.
        for _ in 0..=self.wires.len() + self.zones.len() {
            let next = match step {
                Step::Source(_) => None,
                Step::Fuse(fuse) => self.zone(fuse).map(|above| above.behind),
                Step::Wire(at) => {
                    if !passed.contains(&at) {
                        passed.push(at);
                    }
                    self.wires.get(at).copied().flatten().map(|feed| feed.behind)
                }
            };
            let Some(next) = next else { break };
            step = next;
        }
        passed
    }

    /// Current when the far end of a wire touches the return, source and loop hot, A.
    pub fn far_end_fault_a(&self, wire: usize) -> Option<f64> {
        let feed = (*self.wires.get(wire)?)?;
        let volts = self.volts.get(&feed.source)?;
        let fault = volts / (feed.far_ohm + self.return_ohm);
        Some(feed.limited_a.map_or(fault, |limit| fault.min(limit)))
    }

    /// Current when the load side of a fuse touches the return, A.
    pub fn prospective_a(&self, zone: &FuseZone) -> Option<f64> {
        let volts = self.volts.get(&zone.source)?;
        Some(volts / (zone.ohm + self.return_ohm))
    }
}

impl FuseZone {
    /// Current through the fuse in a state, A.
    pub fn current_a(&self, of: &super::StateResult) -> f64 {
        match self.at {
            FuseAt::Part(at) => of.operated.part_a(at).abs(),
            FuseAt::Wire(at) => of.operated.wire_a(at).abs(),
        }
    }
}

/// From the ground stud that is farthest, in ohms, back to the reference, over wires, chassis and joints.
fn return_ohm(see: &Snapshot, edges: &Edges) -> f64 {
    let wiring = see.wiring();
    let Some(reference) = wiring.reference else {
        return 0.0;
    };
    let distances = edges.distances(reference);
    see.book()
        .all::<Junction>()
        .values()
        .filter(|j| j.kind == JunctionKind::GroundStud)
        .filter_map(|j| distances.get(wiring.nodes.junction(j.id)? as usize).copied())
        .filter(|ohm| ohm.is_finite())
        .fold(0.0, f64::max)
}
