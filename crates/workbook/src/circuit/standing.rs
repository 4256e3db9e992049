//! The network of a wiring as its parts stand, before it is solved.

use std::collections::HashSet;

use crimpbook_core::network::{Circuit, Element, ElementId, NodeId};

use super::{
    Link, Node, Stands, What, Wiring,
    stamp::{Stamp, Stamped},
};
use crate::{
    Book,
    model::{Id, Part},
};

/// A network, and which element is what.
pub struct Standing {
    /// The network.
    pub circuit: Circuit,
    nodes: Vec<NodeId>,
    /// Beside [`Wiring::wires`].
    pub wires: Vec<ElementId>,
    /// Beside [`Wiring::contacts`].
    pub contacts: Vec<ElementId>,
    /// Beside [`Wiring::parts`].
    pub parts: Vec<Link>,
    /// Beside [`Wiring::paths`].
    pub paths: Vec<ElementId>,
    what: Vec<What>,
}

impl Standing {
    /// Writes it; `copper`: factors on the copper's resistance at 20 °C, beside [`Wiring::wires`].
    pub fn of(book: &Book, wiring: &Wiring, stands: &Stands, supply_v: f64, copper: &[f64]) -> Self {
        Self::holding(book, wiring, stands, &HashSet::new(), supply_v, copper)
    }

    /// The same with coils whose economisers hold them.
    pub fn holding(
        book: &Book,
        wiring: &Wiring,
        stands: &Stands,
        holding: &HashSet<Id<Part>>,
        supply_v: f64,
        copper: &[f64],
    ) -> Self {
        let stamp = Stamp {
            book,
            wiring,
            stands,
            holding,
            copper,
            supply_v,
        };
        let Stamped {
            circuit,
            nodes,
            what,
            wires,
            contacts,
            parts,
        } = stamp.write();
        let numbered = circuit.numbered().zip(&what);
        let paths = numbered
            .filter(|(_, what)| matches!(what, What::Path(_)))
            .map(|((id, _), _)| id)
            .collect();
        Self {
            circuit,
            nodes,
            wires,
            contacts,
            parts,
            paths,
            what,
        }
    }

    /// The contacts of an inside part, open ones too, in the order they are written: of a change-over contact the one that
    /// closes when operated comes first.
    pub fn contacts_of(&self, part: usize) -> Vec<ElementId> {
        let numbered = self.circuit.numbered().zip(&self.what);
        let of = numbered.filter(|((_, element), what)| {
            **what == What::Part(part) && matches!(element, Element::Contact { .. })
        });
        of.map(|((id, _), _)| id).collect()
    }

    /// The network's own number of a point.
    pub fn node(&self, node: Node) -> Option<NodeId> {
        self.nodes.get(node as usize).copied()
    }
}
