//! A circuit as it is written down: nodes, elements, the reference.

use super::usable::usable;
use super::{Element, ElementId, NetworkError, NodeId};

/// Elements between nodes. Nothing is checked until it is solved.
#[derive(Debug, Clone, Default)]
pub struct Circuit {
    nodes: u32,
    elements: Vec<Element>,
    tags: Vec<usize>,
    reference: Option<NodeId>,
}

impl Circuit {
    /// An empty circuit.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Makes a node.
    pub fn node(&mut self) -> NodeId {
        let id = NodeId(self.nodes);
        self.nodes += 1;
        id
    }

    /// Names the node from which voltages count, usually battery negative.
    pub fn set_reference(&mut self, node: NodeId) {
        self.reference = Some(node);
    }

    /// The node from which voltages count, if one is named.
    #[must_use]
    pub fn reference(&self) -> Option<NodeId> {
        self.reference
    }

    /// Adds an element. `tag` is the caller's own number for it and comes back in every error and result.
    pub fn add(&mut self, tag: usize, element: Element) -> ElementId {
        let id = ElementId(u32::try_from(self.elements.len()).unwrap_or(u32::MAX));
        self.elements.push(element);
        self.tags.push(tag);
        id
    }

    /// Adds a resistance, above zero ohms.
    pub fn resistance(&mut self, tag: usize, a: NodeId, b: NodeId, ohms: f64) -> ElementId {
        self.add(tag, Element::Resistance { a, b, ohms })
    }

    /// Adds a voltage behind a resistance.
    pub fn source(&mut self, tag: usize, minus: NodeId, plus: NodeId, emf_v: f64, ohms: f64) -> ElementId {
        self.add(
            tag,
            Element::Source {
                minus,
                plus,
                emf_v,
                ohms,
            },
        )
    }

    /// Adds a load of constant current that drops out below `least_v`.
    pub fn current_load(
        &mut self,
        tag: usize,
        from: NodeId,
        to: NodeId,
        current_a: f64,
        least_v: f64,
    ) -> ElementId {
        self.add(
            tag,
            Element::CurrentLoad {
                from,
                to,
                current_a,
                least_v,
            },
        )
    }

    /// Replaces an element, for another position of a switch or another supply. It may join other nodes.
    /// An id of another circuit changes nothing.
    pub fn replace(&mut self, id: ElementId, element: Element) {
        if let Some(place) = self.elements.get_mut(id.index()) {
            *place = element;
        }
    }

    /// Number of nodes.
    #[must_use]
    pub fn node_count(&self) -> usize {
        self.nodes as usize
    }

    /// The elements in the order added; an [`ElementId`]'s index is the position here.
    #[must_use]
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// The tags, beside [`Circuit::elements`].
    #[must_use]
    pub fn tags(&self) -> &[usize] {
        &self.tags
    }

    /// Elements with their ids.
    pub fn numbered(&self) -> impl Iterator<Item = (ElementId, &Element)> {
        (0u32..).map(ElementId).zip(&self.elements)
    }

    /// The reference, once every value and node of the circuit has been found usable.
    pub(crate) fn checked_reference(&self) -> Result<NodeId, NetworkError> {
        for ((element, part), &tag) in self.numbered().zip(&self.tags) {
            if part.terminals().any(|node| node.0 >= self.nodes) {
                return Err(NetworkError::UnknownNode { element, tag });
            }
            usable(part, element, tag)?;
            let coil = part.coil().map(|coil| self.elements.get(coil.index()));
            if coil.is_some_and(|coil| !matches!(coil, Some(Element::Coil { .. }))) {
                return Err(NetworkError::NotACoil { element, tag });
            }
        }
        let node = self.reference.ok_or(NetworkError::NoReference)?;
        if node.0 < self.nodes {
            Ok(node)
        } else {
            Err(NetworkError::UnknownReference { node })
        }
    }
}
