//! The network of a wiring as its parts stand, before it is solved.

use std::collections::HashSet;

use crimpbook_core::network::{Circuit, ElementId, NodeId};

use super::{
    Link, Node, Stands, What, Wiring,
    stamp::{Stamp, Stamped},
};
use crate::Book;

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
}

impl Standing {
    /// Writes it; `copper`: factors on the copper's resistance at 20 °C, beside [`Wiring::wires`].
    pub fn of(book: &Book, wiring: &Wiring, stands: &Stands, supply_v: f64, copper: &[f64]) -> Self {
        let stamp = Stamp {
            book,
            wiring,
            stands,
            holding: &HashSet::new(),
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
        }
    }

    /// The network's own number of a point.
    pub fn node(&self, node: Node) -> Option<NodeId> {
        self.nodes.get(node as usize).copied()
    }
}
