//! What a fault does to the circuit.

use std::collections::HashSet;

use crimpbook_core::network::{Driver, Element, ElementId, Start};

use super::{
    Node, What, Wiring,
    stamp::{Link, Stamped},
};
use crate::model::{Id, Part};

/// A fault, and the relays as they are when it happens.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Upset {
    /// Wires that conduct no more (off, or their inline fuse blown), by their places.
    pub open_wires: Vec<usize>,
    /// Parts that conduct no more (fuse ways), by their places.
    pub open_parts: Vec<usize>,
    /// Chassis paths that are lost, by their places.
    pub open_paths: Vec<usize>,
    /// Contact pairs that are apart, by their places.
    pub open_contacts: Vec<usize>,
    /// Two points that touch, and over how many ohms, above zero.
    pub short: Option<(Node, Node, f64)>,
    /// Coils that are pulled in before it.
    pub pulled: HashSet<Id<Part>>,
}

impl Upset {
    /// Whether it is no fault at all.
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }

    /// Writes it into a network: the short's element, and from where the relays begin.
    pub(super) fn apply(&self, wiring: &Wiring, stamped: &mut Stamped) -> (Option<ElementId>, Start) {
        let wires = self
            .open_wires
            .iter()
            .filter_map(|at| stamped.wires.get(*at).copied());
        let ways = self
            .open_parts
            .iter()
            .filter_map(|at| stamped.parts.get(*at)?.main);
        let pairs = self
            .open_contacts
            .iter()
            .filter_map(|at| stamped.contacts.get(*at).copied());
        let paths = self.open_paths.iter().filter_map(|at| {
            let is_path = |what: &What| matches!(what, What::Path(path) if path == at);
            let place = stamped.what.iter().position(is_path)?;
            stamped.circuit.numbered().nth(place).map(|(id, _)| id)
        });
        let open: Vec<ElementId> = wires.chain(ways).chain(pairs).chain(paths).collect();
        for id in open {
            let Some((a, b)) = stamped.circuit.elements().get(id.index()).map(Element::ends) else {
                continue;
            };
            let (ohms, driver) = (1.0, Driver::Given { closed: false });
            stamped
                .circuit
                .replace(id, Element::Contact { a, b, ohms, driver });
        }
        let short = self.short.map(|(one, other, ohms)| {
            let (a, b) = (stamped.at(one), stamped.at(other));
            stamped.add(What::Short, Element::Resistance { a, b, ohms })
        });
        let coil =
            |(run, link): (&super::PartRun, &Link)| link.main.filter(|_| self.pulled.contains(&run.part));
        let pulled: Vec<ElementId> = wiring.parts.iter().zip(&stamped.parts).filter_map(coil).collect();
        let start = if pulled.is_empty() {
            Start::Released
        } else {
            Start::PulledIn(pulled)
        };
        (short, start)
    }
}
