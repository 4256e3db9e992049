//! What a fault current can pass, and over how many ohms.

use std::{
    cmp::Reverse,
    collections::{BinaryHeap, HashMap},
};

use crimpbook_core::conductor::copper_factor;

use crate::{
    analysis::Snapshot,
    circuit::Node,
    model::{Fuse, Id, OutputSide, Part, PartKind},
    signals::JOINT_OHM,
};

/// One way to go on from a point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Edge {
    /// Where it leads.
    pub to: Node,

    /// Over how many Ω.
    pub ohm: f64,
    /// What it is.
    pub by: By,
}

/// What an edge is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum By {
    /// A wire by its place; whether it is walked from its `from` end.
    Wire { at: usize, forward: bool },
    /// A fuse way by its place among the parts.
    Fuse { at: usize, fuse: Id<Fuse> },
    /// A contact pair, bridge, chassis, joint, switch or diode.
    Joint,
    /// A semiconductor output, with its limit, A.
    Output { most_a: Option<f64> },
}

/// All edges by the point they leave.
#[derive(Debug)]
pub(crate) struct Edges {
    pub(super) from: Vec<Vec<Edge>>,
}

/// A distance that sorts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ohm(pub f64);
impl Eq for Ohm {}
impl PartialOrd for Ohm {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Ohm {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Edges {
    pub(crate) fn of(see: &Snapshot) -> Self {
        let wiring = see.wiring();
        let mut edges = Self {
            from: vec![Vec::new(); wiring.nodes.count()],
        };
        let idle = see.warmth().idle();
        for (at, run) in wiring.wires.iter().enumerate() {
            let hot = see.worst().get(at).and_then(|w| w.conductor_c).map(|w| w.value);
            let factor = hot
                .filter(|c| c.is_finite())
                .map_or_else(|| idle.get(at).copied().unwrap_or(1.0), copper_factor);
            let ohm = run.wire_ohm(factor) + run.fuse.map_or(0.0, |(_, ohm)| ohm);
            edges.add(run.from, run.to, ohm, By::Wire { at, forward: true });
            edges.add(run.to, run.from, ohm, By::Wire { at, forward: false });
        }
        for run in &wiring.contacts {
            edges.both(run.unit_side, run.wire_side, run.ohm);
        }
        for (_, one, other, ohm) in &wiring.bridges {
            edges.both(*one, *other, *ohm);
        }
        for (_, one, other, ohm) in &wiring.paths {
            edges.both(*one, *other, *ohm);
        }
        for (at, run) in wiring.parts.iter().enumerate() {
            if let Some(part) = see.book().get(run.part) {
                edges.part(at, part, &run.ends, run.fuse_ohm);
            }
        }
        edges
    }

    fn part(&mut self, at: usize, part: &Part, ends: &[Node], fuse_ohm: f64) {
        match (&part.kind, ends) {
            (PartKind::FuseWay { fuse }, [supply, load]) => {
                let by = By::Fuse { at, fuse: *fuse };
                self.add(*supply, *load, fuse_ohm, by);
                self.add(*load, *supply, fuse_ohm, by);
            }
            (PartKind::Contact { ohm, .. }, [common, others @ ..]) => {
                others.iter().for_each(|other| self.both(*common, *other, *ohm));
            }
            (PartKind::Resistor { ohm }, [one, other]) if *ohm <= JOINT_OHM => self.both(*one, *other, *ohm),
            (PartKind::Diode { .. }, [anode, cathode]) => self.add(*anode, *cathode, 0.0, By::Joint),
            (
                PartKind::Output {
                    side: OutputSide::HighSide,
                    ohm,
                    most_a,
                    ..
                },
                [supply, pin],
            )
            | (
                PartKind::Output {
                    side: OutputSide::PushPull,
                    ohm,
                    most_a,
                    ..
                },
                [pin, supply, _],
            ) => self.add(*supply, *pin, *ohm, By::Output { most_a: *most_a }),
            _ => {}
        }
    }

    fn add(&mut self, from: Node, to: Node, ohm: f64, by: By) {
        if let Some(list) = self.from.get_mut(from as usize) {
            list.push(Edge {
                to,
                ohm: ohm.max(0.0),
                by,
            });
        }
    }

    fn both(&mut self, one: Node, other: Node, ohm: f64) {
        self.add(one, other, ohm, By::Joint);
        self.add(other, one, ohm, By::Joint);
    }

    /// Ohms from a point to every other over wires, chassis and joints, without passing a fuse way or an output.
    pub(super) fn distances(&self, start: Node) -> Vec<f64> {
        let mut ohms = vec![f64::INFINITY; self.from.len()];
        let mut open = BinaryHeap::from([Reverse((Ohm(0.0), start))]);
        let mut best: HashMap<Node, f64> = HashMap::new();
        while let Some(Reverse((Ohm(ohm), at))) = open.pop() {
            if best.insert(at, ohm).is_some_and(|known| known <= ohm) {
                continue;
            }
            let Some(slot) = ohms.get_mut(at as usize).filter(|slot| ohm < **slot) else {
                continue;
            };
            *slot = ohm;
            for edge in self.from.get(at as usize).into_iter().flatten() {
                if matches!(edge.by, By::Wire { .. } | By::Joint) {
                    open.push(Reverse((Ohm(ohm + edge.ohm), edge.to)));
                }
            }
        }
        ohms
    }

    /// The fuses that come first from a point, each way: fuse ways, and fuses in line with a wire.
    pub(crate) fn first_fuses(&self, see: &Snapshot, start: Node) -> Vec<Id<Fuse>> {
        let inline = |at: usize| see.wiring().wires.get(at)?.fuse.map(|(fuse, _)| fuse);
        let mut seen = vec![false; self.from.len()];
        let (mut open, mut fuses) = (vec![start], Vec::new());
        while let Some(at) = open.pop() {
            match seen.get_mut(at as usize) {
                Some(seen) if !*seen => *seen = true,
                _ => continue,
            }
            for edge in self.from.get(at as usize).into_iter().flatten() {
                let fuse = match edge.by {
                    By::Fuse { fuse, .. } => Some(fuse),
                    By::Wire { at, .. } => inline(at),
                    By::Joint => None,
                    By::Output { .. } => continue,
                };
                match fuse {
                    Some(fuse) if !fuses.contains(&fuse) => fuses.push(fuse),
                    Some(_) => {}
                    None => open.push(edge.to),
                }
            }
        }
        fuses
    }

    /// What lies on the way of least ohms between two points, over wires, chassis and joints, in order. None: no way.
    pub(crate) fn path(&self, from: Node, to: Node) -> Option<Vec<By>> {
        let mut came: HashMap<Node, (Node, By)> = HashMap::new();
        let mut best: HashMap<Node, f64> = HashMap::from([(from, 0.0)]);
        let mut open = BinaryHeap::from([Reverse((Ohm(0.0), from))]);
        while let Some(Reverse((Ohm(ohm), at))) = open.pop() {
            if at == to {
                break;
            }
            if best.get(&at).is_some_and(|known| *known < ohm) {
                continue;
            }
            for edge in self.from.get(at as usize).into_iter().flatten() {
                let next = ohm + edge.ohm;
                let passes = matches!(edge.by, By::Wire { .. } | By::Joint);
                if passes && best.get(&edge.to).is_none_or(|known| next < *known) {
                    best.insert(edge.to, next);
                    came.insert(edge.to, (at, edge.by));
                    open.push(Reverse((Ohm(next), edge.to)));
                }
            }
        }
        let mut steps = Vec::new();
        let mut at = to;
        while at != from {
            let (before, by) = came.get(&at)?;
            steps.push(*by);
            at = *before;
        }
        steps.reverse();
        Some(steps)
    }
}
