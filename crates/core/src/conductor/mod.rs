//! Copper conductors: resistance, temperature, what a meter should read, how much voltage is lost on them.

mod diameter;
mod resistance;
mod rules_of_thumb;
mod wire;

pub use diameter::{OutsideDiameter, conductor_diameter_mm, least_outside_diameter};
pub use resistance::{ConductorTable, OhmPerM, copper_factor, ideal_ohm_per_m, ohm_per_m_20};
pub use rules_of_thumb::{
    allowed_length_at, boat_fuse_most_a, circular_mils, circular_mils_needed, drop_v,
    faa_temperature_estimate_c,
};
pub use wire::{OhmWindow, WireOhms};
