//! Typed indices. Names and record ids stay with the caller; an element carries the caller's `tag`.

/// A point of the circuit where all that meets has one voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub(crate) u32);

impl NodeId {
    /// Position in the order in which the circuit made its nodes.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// One element of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementId(pub(crate) u32);

impl ElementId {
    /// Position in the order in which the elements were added.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }
}
