//! The operating point.
//!
//! [`parts`] takes the circuit apart at given positions of its relays: what is straight, what bends, what
//! hangs together. [`search`] finds the voltages at which currents balance; [`careful`] helps it where
//! plain steps do not settle. [`relays`] moves coils until they stay.

mod careful;
mod parts;
mod relays;
mod search;

pub use relays::Start;
pub(crate) use relays::{Settled, operate};
