//! What comes out.

use super::{ElementId, NodeId};

/// The voltage of a node against the reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Potential {
    /// Held by the circuit, volts.
    At(f64),
    /// Nothing joins the node to the reference: a meter would read whatever the meter itself makes of it.
    Floating,
    /// Relays chatter, and the voltage goes to and fro between these.
    Unsteady {
        /// Lowest voltage that comes round.
        least_v: f64,
        /// Highest voltage that comes round.
        most_v: f64,
    },
}

impl Potential {
    /// Volts, if the node is held at one voltage.
    #[must_use]
    pub fn volts(self) -> Option<f64> {
        match self {
            Self::At(volts) => Some(volts),
            Self::Floating | Self::Unsteady { .. } => None,
        }
    }
}

/// What an element does at the operating point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Condition {
    /// As its plain law says.
    Normal,
    /// A load below its least voltage: it does not do its work.
    Starved,
    /// A power load that finds enough voltage but cannot keep it at work: it would start and drop out.
    Collapsed,
    /// A source that gives its greatest current.
    Limited,
    /// A source that another one holds above its own voltage: it gives nothing.
    Blocked,
    /// A coil that is pulled in.
    PulledIn,
    /// A coil that is not.
    DroppedOut,
    /// An open contact, or an element not joined to anything that could carry its current.
    Open,
}

/// An operating point.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    pub(crate) volts: Vec<f64>,
    /// Number of the piece of each node, 0 for the reference's.
    pub(crate) piece: Vec<u32>,
    /// What each node does while relays chatter; empty when they have settled.
    pub(crate) swing: Vec<Potential>,
    pub(crate) current_a: Vec<f64>,
    pub(crate) condition: Vec<Condition>,
    pub(crate) pulled_in: Vec<ElementId>,
    pub(crate) chattering: Vec<ElementId>,
}

impl Solution {
    /// Voltage of a node against the reference; a node of another circuit floats.
    #[must_use]
    pub fn voltage(&self, node: NodeId) -> Potential {
        if let Some(&swing) = self.swing.get(node.index()) {
            return swing;
        }
        match (self.piece.get(node.index()), self.volts.get(node.index())) {
            (Some(0), Some(&volts)) => Potential::At(volts),
            _ => Potential::Floating,
        }
    }

    /// Every node that is held at one voltage, with its volts.
    pub fn held(&self) -> impl Iterator<Item = (NodeId, f64)> {
        (0u32..)
            .map(NodeId)
            .take(self.volts.len())
            .filter_map(|node| Some((node, self.voltage(node).volts()?)))
    }

    /// Volts of `a` above `b`, also where both float but hang together; `None` where they do not,
    /// or one is unsteady.
    #[must_use]
    pub fn between(&self, a: NodeId, b: NodeId) -> Option<f64> {
        let (at, bt) = (a.index(), b.index());
        let unsteady = |at| matches!(self.swing.get(at), Some(Potential::Unsteady { .. }));
        if self.piece.get(at)? != self.piece.get(bt)? || unsteady(at) || unsteady(bt) {
            return None;
        }
        Some(self.volts.get(at)? - self.volts.get(bt)?)
    }

    /// Places of those pairs of nodes between which it is not `volts` to within `within_v`: also where nothing joins the two, or
    /// where `volts` is no number.
    pub fn elsewhere<'s>(
        &'s self,
        pairs: &'s [Option<(NodeId, NodeId)>],
        volts: &'s [f32],
        within_v: f32,
    ) -> impl Iterator<Item = usize> + 's {
        let is_there = move |pair: Option<(NodeId, NodeId)>, volts: f32| {
            let now = pair.and_then(|(a, b)| self.between(a, b));
            now.is_some_and(|now| (now as f32 - volts).abs() < within_v)
        };
        let pairs = pairs.iter().zip(volts).enumerate();
        pairs.filter_map(move |(at, (pair, volts))| (!is_there(*pair, *volts)).then_some(at))
    }

    /// Current through an element from its first terminal to its second, amperes; 0 for an element of
    /// another circuit.
    #[must_use]
    pub fn current_a(&self, element: ElementId) -> f64 {
        self.current_a.get(element.index()).copied().unwrap_or(0.0)
    }

    /// What an element does.
    #[must_use]
    pub fn condition(&self, element: ElementId) -> Condition {
        self.condition
            .get(element.index())
            .copied()
            .unwrap_or(Condition::Open)
    }
}
