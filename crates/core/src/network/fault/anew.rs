//! A fault solved from nothing.

use super::{Change, Faulted, Faults};
use crate::network::layout::Layout;
use crate::network::operate::operate;
use crate::network::read::read;
use crate::network::{Circuit, Driver, Element, ElementId, NetworkError, NodeId};

impl Faults<'_> {
    /// Solves the changed circuit with relays beginning at `pulled`.
    pub(super) fn anew(&self, changes: &[Change], pulled: Vec<bool>) -> Result<Faulted<'_>, NetworkError> {
        let (circuit, base) = (self.point.circuit, &self.point.settled.search);
        let forced = forced(changes);
        let rejoined = changes.iter().any(|change| match *change {
            Change::Open(id) => matches!(circuit.elements()[id.index()], Element::Emf { .. }),
            Change::Closed(_) => false,
            Change::Bridge { .. } => true,
        });
        if !rejoined {
            let settled = operate(circuit, base.layout, &forced, pulled, base.x.clone())?;
            return Ok(Faulted::anew(self, read(circuit, &settled, &[])));
        }
        let changed = rejoin(circuit, changes);
        let layout = Layout::new(&changed)?;
        let mut x = layout.rest();
        for node in (0u32..).map(NodeId).take(circuit.node_count()) {
            let unknown = layout.joints.of(node);
            if unknown != layout.joints.ground() {
                x[unknown as usize] = base.layout.joints.volts(node, &base.x) - layout.joints.offset_v(node);
            }
        }
        let mut more = pulled;
        more.resize(changed.elements().len(), false);
        let settled = operate(&changed, &layout, &forced, more, x)?;
        let mut solution = read(&changed, &settled, &[]);
        solution.current_a.truncate(circuit.elements().len());
        solution.condition.truncate(circuit.elements().len());
        Ok(Faulted::anew(self, solution))
    }
}

/// Elements that the changes hold open or closed.
pub(super) fn forced(changes: &[Change]) -> Vec<(ElementId, bool)> {
    changes
        .iter()
        .filter_map(|change| match *change {
            Change::Open(id) => Some((id, false)),
            Change::Closed(id) => Some((id, true)),
            Change::Bridge { .. } => None,
        })
        .collect()
}

/// The circuit with its bridges as elements, and without the ideal voltages that are open.
fn rejoin(circuit: &Circuit, changes: &[Change]) -> Circuit {
    let mut changed = circuit.clone();
    for change in changes {
        match *change {
            Change::Bridge { a, b, ohms } => {
                changed.resistance(0, a, b, ohms);
            }
            Change::Open(id) => {
                if let Element::Emf {
                    minus: a, plus: b, ..
                } = circuit.elements()[id.index()]
                {
                    let driver = Driver::Given { closed: false };
                    changed.replace(
                        id,
                        Element::Contact {
                            a,
                            b,
                            ohms: 1.0,
                            driver,
                        },
                    );
                }
            }
            Change::Closed(_) => {}
        }
    }
    changed
}
