//! Points of the circuit and their numbers.

use crate::model::{Cavity, End, Id, Junction, Quick, Terminal, Unit};

/// Number of a point of the circuit.
pub type Node = u32;

/// The points of a book's circuit.
#[derive(Debug, Clone, Default)]
pub struct Nodes {
    unit_side: Quick<Id<Cavity>, Node>,
    wire_side: Quick<Id<Cavity>, Node>,
    junctions: Quick<Id<Junction>, Node>,
    inner: Quick<(Id<Unit>, String), Node>,
    count: Node,
}

impl Nodes {
    /// How many there are.
    pub fn count(&self) -> usize {
        self.count as usize
    }

    /// A point that only the circuit knows.
    pub(super) fn hidden(&mut self) -> Node {
        self.count += 1;
        self.count - 1
    }

    pub(super) fn make_unit_side(&mut self, id: Id<Cavity>) -> Node {
        let next = self.count;
        let node = *self.unit_side.entry(id).or_insert(next);
        self.count = self.count.max(node + 1);
        node
    }

    pub(super) fn make_wire_side(&mut self, id: Id<Cavity>) -> Node {
        let next = self.count;
        let node = *self.wire_side.entry(id).or_insert(next);
        self.count = self.count.max(node + 1);
        node
    }

    /// Makes the unit sides of two cavities one point.
    pub(super) fn same_unit_side(&mut self, one: Id<Cavity>, other: Id<Cavity>) {
        let node = self.make_unit_side(one);
        self.unit_side.insert(other, node);
    }

    pub(super) fn make_junction(&mut self, id: Id<Junction>) -> Node {
        let next = self.count;
        let node = *self.junctions.entry(id).or_insert(next);
        self.count = self.count.max(node + 1);
        node
    }

    pub(super) fn make(&mut self, terminal: &Terminal) -> Node {
        match terminal {
            Terminal::Cavity(id) => self.make_unit_side(*id),
            Terminal::Junction(id) => self.make_junction(*id),
            Terminal::Inner { unit, node } => {
                let next = self.count;
                let made = *self.inner.entry((*unit, node.clone())).or_insert(next);
                self.count = self.count.max(made + 1);
                made
            }
        }
    }

    pub(super) fn make_end(&mut self, end: End) -> Node {
        match end {
            End::Cavity(id) => self.make_wire_side(id),
            End::Junction(id) => self.make_junction(id),
            End::Free => self.hidden(),
        }
    }

    /// The unit's side of a cavity's contact.
    pub fn unit_side(&self, id: Id<Cavity>) -> Option<Node> {
        self.unit_side.get(&id).copied()
    }

    /// The wire's side of a cavity's contact; none where no wire ends and nothing is bridged.
    pub fn wire_side(&self, id: Id<Cavity>) -> Option<Node> {
        self.wire_side.get(&id).copied()
    }

    /// A splice or stud.
    pub fn junction(&self, id: Id<Junction>) -> Option<Node> {
        self.junctions.get(&id).copied()
    }

    /// The point a part or path is joined to.
    pub fn terminal(&self, terminal: &Terminal) -> Option<Node> {
        match terminal {
            Terminal::Cavity(id) => self.unit_side(*id),
            Terminal::Junction(id) => self.junction(*id),
            // Looked up rarely, so that the name is copied for it.
            Terminal::Inner { unit, node } => self.inner.get(&(*unit, node.clone())).copied(),
        }
    }

    /// Where a wire's end meets its surroundings: the unit's side of a cavity's contact, a splice, a stud.
    pub fn beyond(&self, end: End) -> Option<Node> {
        match end {
            End::Cavity(id) => self.unit_side(id),
            End::Junction(id) => self.junction(id),
            End::Free => None,
        }
    }
}
