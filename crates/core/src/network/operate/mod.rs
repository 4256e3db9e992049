//! The operating point.
//!
//! [`parts`] takes the circuit apart at given positions of its relays: what is straight, what bends, what
//! hangs [`together`]. [`search`] decides which loads work, [`balance`] finds the voltages at which currents
//! balance; [`careful`] helps it where plain steps do not settle, [`ranks`] where a fault joins what the
//! matrix has no place for. [`relays`] moves coils until they stay, [`race`] lets them
//! move one before another. [`held`] then says which nodes the
//! reference holds.

mod balance;
mod careful;
mod held;
mod parts;
mod race;
mod ranks;
mod relays;
mod search;
mod together;

pub(crate) use held::held;
pub(crate) use parts::{Altered, Ratio};
pub(crate) use race::racing;
pub use relays::Start;
pub(crate) use relays::{From, Settled, operate, settle_at};
pub(crate) use search::{AT_REST_V, DIODE_V, START_SHARE, Search};
