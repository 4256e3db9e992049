//! Every computed result of one state of the book.
//!
//! A [`Snapshot`] is taken of a book and never changes; each result is computed once, when it is first asked for,
//! and shared by all checks and screens.

mod coils;
mod fed;
pub mod heat;
mod loads;
pub mod protect;
mod snapshot;
mod state;
pub mod suppose;
pub mod suspects;
#[cfg(test)]
mod tests;
mod touched;
mod worst;

pub use coils::{CoilAt, CoilVolts};
pub(crate) use fed::could_leak;
pub use loads::Load;
pub use snapshot::Snapshot;
pub use state::{CavityVolts, StateResult};
#[cfg(test)]
pub(crate) use touched::OUTSIDE;
pub(crate) use touched::{Reads, Touched};
pub use worst::{WireWorst, Worst};
