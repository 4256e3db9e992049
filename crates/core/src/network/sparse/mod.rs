//! Sparse elimination for matrices whose pattern is symmetric and whose rows come from current balances.
//!
//! A harness is nearly a tree, so a minimum-degree order leaves almost no fill. Values may be
//! unsymmetric (a ratiometric output is), the pattern is not. There is no exchange of pivots: diagonals
//! are never subtracted but summed from what leaves a node, which keeps full relative accuracy from
//! micro-ohms to megohms in a network of resistances.

mod factor;
mod order;
mod pattern;

pub(crate) use factor::{Factor, Matrix};
pub(crate) use order::minimum_degree;
pub(crate) use pattern::Pattern;

/// Stands for a slot where there is none, since one side is the reference or both are one unknown.
///
/// The reference has the number after the last unknown wherever an unknown's number is expected; vectors
/// have room for it, so that nothing needs to ask.
pub(crate) const NO_SLOT: u32 = u32::MAX;
