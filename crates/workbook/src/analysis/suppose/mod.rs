//! What a single fault does to a state: a wire comes off or chafes through to chassis or to supply, a fuse is blown, a ground
//! path lost, a plug off, a contact stuck.
//!
//! A state tells where relays stand without a fault; with one they follow their coils' voltage. Both moments are kept: as
//! the fault happens, and after the fuses that it carries past their gate have opened.

mod change;
mod failing;
mod outcome;
pub(crate) mod place;
mod relays;
mod solve;
#[cfg(test)]
mod tests;
mod verdict;
mod words;

pub use change::{CavityChange, Changes, PartChange, Reads, Turn, reads};
pub(super) use change::{STILL, WORKS_A};
pub use failing::Failing;
pub(super) use failing::contacts_of;
pub use outcome::{Gist, Outcome};
pub(super) use relays::{Freed, freed};
pub(crate) use solve::SHORT_OHM;
pub use solve::{Moment, NotSupposed, OPENS_AT, Opened, Supposed};
pub use verdict::{FunctionVerdict, WireVerdict};
pub use words::{CavityWords, Told, fixed, from_to};

/// How a wire fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Touch {
    /// It comes off.
    Off,
    /// Its conductor touches chassis.
    Chassis,
    /// Its conductor touches the unswitched supply.
    Supply,
}

impl Touch {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Off, Self::Chassis, Self::Supply];

    /// As it is typed (`open`).
    pub fn name(self) -> &'static str {
        match self {
            Self::Off => "open",
            Self::Chassis => "chassis",
            Self::Supply => "supply",
        }
    }

    /// The one typed so.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|t| t.name().eq_ignore_ascii_case(name.trim()))
    }
}
