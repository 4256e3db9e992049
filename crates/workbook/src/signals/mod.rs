//! Nets and what they carry: derived from the book, never stored.
//!
//! A net is all that is joined without passing through a load, a switch or a fuse's way: wires (with a fuse in line or
//! not), splices, studs, bridges between cavities, and couplings plugged together. Temporary links are no part of the plan
//! and do not join. From nets follow where each signal comes from, what it feeds, and which inputs have no source.

mod ground;
mod join;
mod need;
mod net;
mod next;
mod origin;
mod signal;
#[cfg(test)]
mod tests;

pub use need::{Need, Unsourced, need};
pub use net::{Net, NetId, Nets};
pub use origin::{Origin, OriginKind, Origins};
pub use signal::{Signal, Signals};

/// A resistance up to this counts as a joint between two nets, not as a load, Ω. Our own bound; a 1 Ω pull does not exist.
pub const JOINT_OHM: f64 = 1.0;
