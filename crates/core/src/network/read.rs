//! From the unknowns to what a caller asks for.

use super::law::{Bent, Work};
use super::layout::Layout;
use super::operate::{Search, Settled, held};
use super::{Circuit, Condition, Element, ElementId, NodeId, Potential, Solution};

/// A swing of less is none, volts.
const STEADY_V: f64 = 1e-6;

/// Reads every voltage, current and condition. `bridges` are the nodes that touch, with the ohms between.
pub(crate) fn read(circuit: &Circuit, settled: &Settled<'_>, bridges: &[(NodeId, NodeId, f64)]) -> Solution {
    let search = &settled.search;
    let mut solution = Found {
        circuit,
        layout: search.layout,
        x: &search.x,
        held: &held_at(search),
        pulled: &settled.pulled,
        bridges,
    }
    .read(
        search.currents(circuit.elements().len()),
        conditions(circuit, |at| search.is_open(at), &settled.pulled, search.bends()),
    );
    if !settled.round.is_empty() {
        let round: Vec<_> = settled.round.iter().map(|at| (at, held_at(at))).collect();
        let nodes = (0u32..).map(NodeId).take(circuit.node_count());
        solution.swing = nodes.map(|node| swing_of(&round, node)).collect();
    }
    solution.chattering.clone_from(&settled.chattering);
    solution
}

/// What was found of a circuit.
pub(crate) struct Found<'f> {
    pub(crate) circuit: &'f Circuit,
    pub(crate) layout: &'f Layout,
    /// Volts of the unknowns.
    pub(crate) x: &'f [f64],
    /// Which unknowns hang together.
    pub(crate) held: &'f [u32],
    /// Of each element whether it is a coil that is pulled in.
    pub(crate) pulled: &'f [bool],
    pub(crate) bridges: &'f [(NodeId, NodeId, f64)],
}

impl Found<'_> {
    /// Everything, from the currents of all but ideal voltages.
    pub(crate) fn read(&self, mut current_a: Vec<f64>, condition: Vec<Condition>) -> Solution {
        let (circuit, joints) = (self.circuit, &self.layout.joints);
        if joints.any() {
            let mut leaving_a = vec![0.0; circuit.node_count()];
            for &(from, to, ohms) in self.bridges {
                let current_a = self.layout.pair(from, to).across(self.x) / ohms;
                leaving_a[from.index()] += current_a;
                leaving_a[to.index()] -= current_a;
            }
            for (element, &current_a) in circuit.elements().iter().zip(&current_a) {
                let (tail, head) = element.ends();
                leaving_a[tail.index()] += current_a;
                leaving_a[head.index()] -= current_a;
            }
            joints.emf_currents(&mut leaving_a, &mut current_a);
        }
        let ground = self.held[joints.ground() as usize];
        let nodes = || (0u32..).map(NodeId).take(circuit.node_count());
        let piece = nodes()
            .map(|node| self.held[joints.of(node) as usize])
            .map(|piece| if piece == ground { 0 } else { piece + 1 })
            .collect();
        let volts = nodes().map(|node| joints.volts(node, self.x)).collect();
        let pulled_in = circuit.numbered().map(|(id, _)| id);
        Solution {
            volts,
            piece,
            swing: Vec::new(),
            condition,
            current_a,
            pulled_in: pulled_in.filter(|id| self.pulled[id.index()]).collect(),
            chattering: Vec::new(),
        }
    }
}

fn held_at(search: &Search<'_>) -> Vec<u32> {
    held(&search.parts, &search.x, |_| false, std::iter::empty())
}

/// What a node does while relays chatter.
fn swing_of(round: &[(&Search<'_>, Vec<u32>)], node: NodeId) -> Potential {
    let (mut least_v, mut most_v) = (f64::INFINITY, f64::NEG_INFINITY);
    for (search, held) in round {
        let joints = &search.layout.joints;
        if held[joints.of(node) as usize] != held[joints.ground() as usize] {
            return Potential::Floating;
        }
        let volts = joints.volts(node, &search.x);
        least_v = least_v.min(volts);
        most_v = most_v.max(volts);
    }
    if most_v - least_v <= STEADY_V {
        Potential::At(most_v)
    } else {
        Potential::Unsteady { least_v, most_v }
    }
}

/// What each element does; `bends` are those that are not open: element, law, voltage, what it does, whether it collapsed.
pub(crate) fn conditions<'b>(
    circuit: &Circuit,
    is_open: impl Fn(usize) -> bool,
    pulled: &[bool],
    bends: impl Iterator<Item = (usize, &'b Bent, f64, Work, bool)>,
) -> Vec<Condition> {
    let mut conditions: Vec<Condition> = circuit
        .numbered()
        .map(|(id, element)| match element {
            _ if is_open(id.index()) => Condition::Open,
            Element::Coil { .. } if pulled[id.index()] => Condition::PulledIn,
            Element::Coil { .. } => Condition::DroppedOut,
            _ => Condition::Normal,
        })
        .collect();
    for (element, law, u, work, collapsed) in bends {
        conditions[element] = match law {
            Bent::CurrentLoad(law) if u < law.least_v => Condition::Starved,
            Bent::PowerLoad(_) if collapsed => Condition::Collapsed,
            Bent::PowerLoad(_) if work == Work::DroppedOut => Condition::Starved,
            Bent::Limited(law) if law.is_limited(u) => Condition::Limited,
            Bent::Limited(law) if law.is_blocked(u) => Condition::Blocked,
            _ => Condition::Normal,
        };
    }
    conditions
}

impl Solution {
    /// The coils that are pulled in, to start another computing from.
    #[must_use]
    pub fn pulled_in(&self) -> &[ElementId] {
        &self.pulled_in
    }

    /// The coils that never stay, and so keep each other moving; empty when the relays have settled.
    /// Currents and conditions are then those of one moment of it.
    #[must_use]
    pub fn chattering(&self) -> &[ElementId] {
        &self.chattering
    }
}
