//! The DC network: what voltage stands at every node and what current flows in every element.
//!
//! A caller makes a [`Circuit`] of nodes and [`Element`]s, names the reference, and calls [`solve`].
//! Names stay with the caller: a node is a [`NodeId`], an element an [`ElementId`], and each element
//! carries a `tag`, the caller's own number, which comes back in errors.
//!
//! A 12 V battery behind 11 mΩ feeds a pump of 9 A through 45 mΩ of wire; pump and a sensor share
//! 20 mΩ of ground wire, so that the running pump lifts the sensor's return by 0.18 V:
//!
//! ```
//! use crimpbook_core::network::{Circuit, Potential, solve};
//!
//! let mut circuit = Circuit::new();
//! let [negative, post, pump, ground] = std::array::from_fn(|_| circuit.node());
//! circuit.set_reference(negative);
//! circuit.source(0, negative, post, 12.6, 0.011);
//! let feed = circuit.resistance(1, post, pump, 0.045);
//! circuit.current_load(2, pump, ground, 9.0, 8.0);
//! circuit.resistance(3, ground, negative, 0.020);
//! let unused = circuit.node();
//!
//! let solution = solve(&circuit)?;
//! assert!((solution.current_a(feed) - 9.0).abs() < 1e-9);
//! assert!((solution.voltage(ground).volts().unwrap() - 0.18).abs() < 1e-9);
//! assert_eq!(solution.voltage(unused), Potential::Floating);
//! # Ok::<(), crimpbook_core::network::NetworkError>(())
//! ```
//!
//! How it is computed, and what that means to a caller:
//!
//! - The balance of currents is written by modified nodal analysis on sparse matrices. Ideal voltages
//!   ([`Element::Emf`]) join nodes into one unknown, so that nothing needs a made-up resistance.
//! - A part of the circuit that nothing joins to the reference is [`Potential::Floating`], never 0 V;
//!   voltages *within* it are still known, see [`Solution::between`]. A part that the reference holds but
//!   no source feeds is at 0 V.
//! - Elements that bend (diodes, lamps, limited sources, loads) are found by Newton's method; where that
//!   does not settle, [`NetworkError::NotConverged`] names the element.
//! - A power load is started from nothing: it works if it finds its least voltage at switch-on and keeps
//!   it at work, at the upper of two possible voltages. Otherwise its [`Condition`] is
//!   [`Condition::Starved`] or [`Condition::Collapsed`].
//! - Coils move all at once from a [`Start`] until they stay. Where they never do, the coils are named by
//!   [`Solution::chattering`] and what they move is [`Potential::Unsteady`]. Whether it depends on which
//!   relay is faster is told by [`Network::racing`].
//! - What hangs on a shut diode alone (1 pS) floats.
//!
//! To compute many times, make a [`Network`] once. [`Network::operate`] gives an [`OperatingPoint`], from
//! which one looks into any node ([`OperatingPoint::thevenin`]) and tries faults. A fault changes one or
//! two branches, so it is an update of the factorised network, relays and loads that move with it included;
//! where that would lose digits it is solved from nothing. [`Faults::moments`] also opens the fuses that a
//! fault overloads:
//!
//! ```
//! use crimpbook_core::network::{Change, Circuit, Network, Start};
//!
//! let mut circuit = Circuit::new();
//! let [negative, post, lamp] = std::array::from_fn(|_| circuit.node());
//! circuit.set_reference(negative);
//! circuit.source(0, negative, post, 12.0, 0.010);
//! let wire = circuit.resistance(1, post, lamp, 0.049);
//! circuit.resistance(2, lamp, negative, 6.0);
//!
//! let network = Network::new(circuit)?;
//! let point = network.operate(&Start::Released)?;
//! assert!(point.thevenin(lamp, negative).unwrap().ohms < 0.059);
//! let faults = point.faults();
//! let chafed = faults.solve(&[Change::Bridge { a: lamp, b: negative, ohms: 0.001 }])?;
//! assert!((chafed.current_a(wire) - 12.0 / 0.06).abs() < 0.1);
//! let off = faults.solve(&[Change::Open(wire)])?;
//! assert_eq!(off.current_a(wire), 0.0);
//! # Ok::<(), crimpbook_core::network::NetworkError>(())
//! ```

mod circuit;
mod dense;
mod element;
mod error;
mod fault;
mod ids;
mod joints;
mod law;
mod layout;
#[expect(clippy::module_inception, reason = "it holds the type of that name")]
mod network;
mod operate;
mod pieces;
mod point;
mod read;
mod solution;
mod sparse;
#[cfg(test)]
mod tests;
mod usable;

pub use circuit::Circuit;
pub use element::{Driver, Element};
pub use error::NetworkError;
pub use fault::{Change, Ended, Executor, Faulted, Faults, FuseGate, Moments, Serial};
pub use ids::{ElementId, NodeId};
pub use law::REVERSE_OHMS;
pub use network::{Network, solve};
pub use operate::Start;
pub use point::{OperatingPoint, Thevenin};
pub use solution::{Condition, Potential, Solution};
