//! Why a circuit cannot be solved: a sentence each, naming the element by its tag.

use super::{ElementId, NodeId};

/// What is wrong with a circuit, or why it has no solution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// No node was named as the point from which voltages count.
    #[error("the network has no reference node; name one (usually battery negative) before solving")]
    NoReference,
    /// A node that this circuit did not make.
    #[error("element {} (tag {tag}) is joined to a node that is not part of this network", element.index())]
    UnknownNode {
        /// The element that names it.
        element: ElementId,
        /// Its tag.
        tag: usize,
    },
    /// A reference that this circuit did not make.
    #[error("node {} is named as reference but is not part of this network", node.index())]
    UnknownReference {
        /// The node.
        node: NodeId,
    },
    /// Not a number, or without bound.
    #[error("element {} (tag {tag}): {what} is not a finite number", element.index())]
    NotFinite {
        /// The element.
        element: ElementId,
        /// Its tag.
        tag: usize,
        /// Which value.
        what: &'static str,
    },
    /// A value that must be above zero.
    #[error("element {} (tag {tag}): {what} is {value}, it must be above zero", element.index())]
    NotPositive {
        /// The element.
        element: ElementId,
        /// Its tag.
        tag: usize,
        /// Which value.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// A value outside its bounds.
    #[error("element {} (tag {tag}): {what} is {value}, it must lie between {least} and {most}", element.index())]
    OutOfRange {
        /// The element.
        element: ElementId,
        /// Its tag.
        tag: usize,
        /// Which value.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Least value allowed.
        least: f64,
        /// Greatest value allowed.
        most: f64,
    },
    /// A contact whose driver is not a coil.
    #[error("element {} (tag {tag}): the contact is driven by something that is not a coil", element.index())]
    NotACoil {
        /// The contact.
        element: ElementId,
        /// Its tag.
        tag: usize,
    },
    /// Ideal voltages in a ring: their currents have no single answer.
    #[error(
        "element {} (tag {tag}) closes a ring of voltages without resistance; give one of them its resistance",
        element.index()
    )]
    EmfLoop {
        /// The element that closes the ring.
        element: ElementId,
        /// Its tag.
        tag: usize,
    },
    /// A fault of an element that is not in the network.
    #[error("element {} is not part of this network, so it cannot fail", element.index())]
    NoSuchElement {
        /// The element.
        element: ElementId,
    },
    /// A fault between nodes that are not in the network, or over a resistance that is none.
    #[error(
        "nodes {} and {} cannot touch over {ohms} ohms: both must be part of this network, and the ohms above zero",
        a.index(),
        b.index()
    )]
    UnusableBridge {
        /// One node.
        a: NodeId,
        /// The other.
        b: NodeId,
        /// The resistance given.
        ohms: f64,
    },
    /// The iteration did not settle.
    #[error(
        "no operating point found: element {} (tag {tag}) still moves by {change_v:.1e} V after 150 rounds",
        element.index()
    )]
    NotConverged {
        /// The element that moved most in the last round.
        element: ElementId,
        /// Its tag.
        tag: usize,
        /// Its last change, volts.
        change_v: f64,
    },
    /// Rounding left no usable digits.
    #[error(
        "the network is too ill-conditioned to solve; look for resistances that differ by more than 1e15"
    )]
    Singular,
}
