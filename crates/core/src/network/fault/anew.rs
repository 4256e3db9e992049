//! A fault solved from nothing.

use super::{Change, Faulted, Faults};
use crate::network::layout::Layout;
use crate::network::operate::{Altered, From, operate};
use crate::network::read::read;
use crate::network::{Circuit, Driver, Element, NetworkError};

impl Faults<'_> {
    /// Solves the changed circuit with relays beginning at `pulled`.
    pub(super) fn anew(
        &self,
        changes: &[Change],
        pulled: Vec<bool>,
        from: &From<'_>,
    ) -> Result<Faulted<'_>, NetworkError> {
        let (circuit, layout) = (self.point.circuit, self.point.settled.search.layout);
        let parts_an_emf = changes.iter().any(|change| match *change {
            Change::Open(id) => matches!(circuit.elements()[id.index()], Element::Emf { .. }),
            _ => false,
        });
        if !parts_an_emf {
            let altered = altered(changes);
            match operate(circuit, layout, &altered, pulled.clone(), from) {
                // Too few digits beside the old pattern: the bridges get places of their own.
                Err(_) if !altered.bridges.is_empty() => {}
                settled => return Ok(Faulted::anew(self, read(circuit, &settled?, &altered.bridges))),
            }
        }
        self.rejoined(changes, pulled)
    }

    /// Solves the changed circuit written down as a circuit of its own, loads starting from nothing.
    fn rejoined(&self, changes: &[Change], mut pulled: Vec<bool>) -> Result<Faulted<'_>, NetworkError> {
        let circuit = self.point.circuit;
        let changed = rejoin(circuit, changes);
        let layout = Layout::new(&changed)?;
        let altered = Altered {
            bridges: Vec::new(),
            ..altered(changes)
        };
        pulled.resize(changed.elements().len(), false);
        let settled = operate(&changed, &layout, &altered, pulled, &From::Rest)?;
        let mut solution = read(&changed, &settled, &[]);
        solution.current_a.truncate(circuit.elements().len());
        solution.condition.truncate(circuit.elements().len());
        Ok(Faulted::anew(self, solution))
    }
}

/// What the changes make of the circuit.
pub(super) fn altered(changes: &[Change]) -> Altered {
    let mut altered = Altered::default();
    for change in changes {
        match *change {
            Change::Open(id) => altered.forced.push((id, false)),
            Change::Closed(id) => altered.forced.push((id, true)),
            Change::Bridge { a, b, ohms } => altered.bridges.push((a, b, ohms)),
        }
    }
    altered
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
