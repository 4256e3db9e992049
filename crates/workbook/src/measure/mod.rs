//! Tests with a meter: what it should show at every cavity, power off and power on, and what it did show.
//!
//! The list is made from nets, inside parts and operating states; nothing of it is stored. A [`Reading`] keeps what was
//! expected when it was taken and what it rested on, and lapses when that is changed. The tests, their order and their
//! set windows are common practice, no source; the units' manuals win.
//!
//! [`Reading`]: crate::model::Reading

mod apart;
mod contactors;
mod crimps;
mod joining;
mod ladder;
mod loom;
mod neighbours;
mod parts;
mod powered;
mod rails;
mod rests;
mod roles;
mod sensing;
mod sensor;
mod standing;
mod stops;
mod take;
mod test;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_power;
mod typed;
mod volts;
mod ways;
mod windows;

pub use crimps::{Crimp, CrimpVerdict, SUSPECT_OHM, crimps};
pub use ladder::{CAUTIONS, Rung, Stage, ladder, listed, stages};
pub(crate) use loom::{joined, negative};
pub(crate) use rests::{changed, keys_of};
pub use sensor::{SENSOR_AT_C, Sensor, sensors};
pub use standing::{Standing, Tally, lapsed, reading_of, standing, tally};
pub use stops::{Stop, Stops};
pub use take::{Taken, all_open, take};
pub use test::{Expected, Known, Listed, METER_OHM, OPEN_OHM, Test, battery_read, held_words};
pub use typed::{Typed, typed};
pub(crate) use volts::ground_of;
pub use windows::{Windows, windows};
