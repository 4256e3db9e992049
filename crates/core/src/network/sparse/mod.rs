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

/// Stands for the reference where an unknown's number is expected.
pub(crate) const GROUND: u32 = u32::MAX;
