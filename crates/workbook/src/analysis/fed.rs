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
        let mut steps: Vec<Vec<Node>> = vec![Vec::new(); wiring.nodes.count()];
        let mut link = |one: Node, other: Node, back: bool| {
            if let Some(list) = steps.get_mut(one as usize) {
                list.push(other);
            }
            if back && let Some(list) = steps.get_mut(other as usize) {
                list.push(one);
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
        for (at, run) in wiring.parts.iter().enumerate() {
            let Some(part) = see.book().get(run.part) else {
                continue;
            };
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
        // Current that reaches battery negative has been through a load: nothing is fed from there.
        let mut fed = vec![false; wiring.nodes.count()];
        while let Some(node) = open.pop() {
            let Some(slot) = fed.get_mut(node as usize).filter(|f| !**f) else {
                continue;
            };
            *slot = true;
            open.extend(steps.get(node as usize).into_iter().flatten());
        }
        Self(fed)
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
