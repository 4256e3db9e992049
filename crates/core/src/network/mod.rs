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
//! The balance of currents is written by modified nodal analysis on sparse matrices ([`solve`]'s own
//! module tells more). A part of the circuit that nothing joins to the reference is
//! [`Potential::Floating`], never 0 V; voltages *within* such a part are still known, see
//! [`Solution::between`].

mod circuit;
mod element;
mod error;
mod ids;
mod joints;
mod law;
mod layout;
mod operate;
mod pieces;
mod solution;
mod sparse;
#[cfg(test)]
mod tests;

pub use circuit::Circuit;
pub use element::Element;
pub use error::NetworkError;
pub use ids::{ElementId, NodeId};
pub use operate::solve;
pub use solution::{Condition, Potential, Solution};
