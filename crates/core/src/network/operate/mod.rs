//! The operating point.
//!
//! [`parts`] takes the circuit apart at given positions of its relays: what is straight, what bends, what
//! hangs together. [`held`] looks at that again once the voltages are known. [`search`] finds the voltages at which currents balance; [`careful`] helps it where
//! plain steps do not settle. [`relays`] moves coils until they stay.

mod careful;
mod held;
mod parts;
mod relays;
mod search;

pub(crate) use held::held;
pub(crate) use parts::Parts;
pub use relays::Start;
pub(crate) use relays::{Settled, operate};
pub(crate) use search::Search;
