//! What is alive in a state: reached from a source that is on, through what is closed.

use super::{Snapshot, StateResult};
use crate::{
    circuit::{Node, Stand},
    model::{OutputSide, Part, PartKind, PartPosition},
    signals::JOINT_OHM,
};
use crimpbook_core::network::Condition;

/// Points that a source feeds in a state, by their number; loads, lamps and pulls are not passed.
#[derive(Debug, Default)]
pub(crate) struct Fed(Vec<bool>);

impl Fed {
    /// Whether a source feeds this point.
    pub(crate) fn at(&self, node: Node) -> bool {
        self.0.get(node as usize).copied().unwrap_or(false)
    }

    /// What is fed in this state.
    pub(super) fn of(see: &Snapshot, of: &StateResult) -> Self {
        let wiring = see.wiring();
        let mut steps: Vec<(Node, Node)> = Vec::with_capacity(4 * wiring.wires.len());
        let mut link = |one: Node, other: Node, back: bool| {
            steps.push((one, other));
            if back {
                steps.push((other, one));
            }
        };
        for run in &wiring.wires {
            link(run.from, run.to, true);
        }
        for run in &wiring.contacts {
            link(run.unit_side, run.wire_side, true);
        }
        for (_, one, other, _) in &wiring.bridges {
            link(*one, *other, true);
        }
        let mut open: Vec<Node> = Vec::new();
        for (at, run, part) in wiring.parts_of(see.book()) {
            let stand = of.stands.get(part.id);
            let on = !matches!(stand, Stand::Given(PartPosition::Off) | Stand::Unknown);
            match (&part.kind, run.ends.as_slice()) {
                (PartKind::Source { switched, .. }, [plus, _])
                    if on || (!switched && stand == Stand::Unknown) =>
                {
                    open.push(*plus);
                }
                (PartKind::Reference { .. }, [plus, _]) if on => open.push(*plus),
                (PartKind::FuseWay { .. }, [one, other]) => link(*one, *other, true),
                (PartKind::Resistor { ohm }, [one, other]) if *ohm <= JOINT_OHM => link(*one, *other, true),
                (PartKind::Diode { .. }, [anode, cathode]) => link(*anode, *cathode, false),
                (PartKind::Contact { .. }, [common, others @ ..]) => {
                    // Closed: its two ends stand at one voltage, and it is not open in the solution.
                    let closed = of.operated.condition(at).is_some_and(|c| c != Condition::Open);
                    for other in others.iter().filter(|_| closed) {
                        let drop = of.operated.between(*common, *other);
                        if drop.is_some_and(|v| v.abs() < CLOSED_V) {
                            link(*common, *other, true);
                        }
                    }
                }
                (
                    PartKind::Output {
                        side: OutputSide::HighSide,
                        ..
                    },
                    [supply, pin],
                )
                | (
                    PartKind::Output {
                        side: OutputSide::PushPull,
                        ..
                    },
                    [pin, supply, _],
                ) if on => {
                    link(*supply, *pin, false);
                }
                _ => {}
            }
        }
        let steps = Steps::of(&steps, wiring.nodes.count());
        // Current that reaches battery negative has been through a load: nothing is fed from there.
        let mut fed = vec![false; wiring.nodes.count()];
        while let Some(node) = open.pop() {
            let Some(slot) = fed.get_mut(node as usize).filter(|f| !**f) else {
                continue;
            };
            *slot = true;
            open.extend(steps.from(node));
        }
        Self(fed)
    }
}

/// Where one can go from each point: the ends of the steps that begin there lie side by side.
struct Steps {
    /// Where the ends from each point begin.
    begin: Vec<u32>,
    ends: Vec<Node>,
}

impl Steps {
    fn of(steps: &[(Node, Node)], nodes: usize) -> Self {
        let mut begin = vec![0; nodes + 1];
        for (from, _) in steps {
            if let Some(count) = begin.get_mut(*from as usize + 1) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for count in &mut begin {
            sum += *count;
            *count = sum;
        }
        let mut next = begin.clone();
        let mut ends = vec![0; sum as usize];
        for (from, to) in steps {
            if let Some(place) = next.get_mut(*from as usize)
                && let Some(end) = ends.get_mut(*place as usize)
            {
                (*end, *place) = (*to, *place + 1);
            }
        }
        Self { begin, ends }
    }

    fn from(&self, node: Node) -> &[Node] {
        let at = |node: usize| self.begin.get(node).map_or(0, |place| *place as usize);
        self.ends
            .get(at(node as usize)..at(node as usize + 1))
            .unwrap_or_default()
    }
}

/// More than this between its ends and a contact is not closed, V (our own).
const CLOSED_V: f64 = 0.5;

/// Whether a part could let current pass from a live rail to a dead one.
pub(crate) fn could_leak(part: &Part) -> bool {
    matches!(
        part.kind,
        PartKind::Lamp { .. }
            | PartKind::Coil { .. }
            | PartKind::Resistor { .. }
            | PartKind::Load { .. }
            | PartKind::Output { .. }
            | PartKind::Diode { .. }
    )
}
