//! How warm a wire runs, how much it may carry, and how long it bears too much.
//!
//! One physical model answers all three: heat made in the copper passes through the insulation and leaves by natural
//! convection (Churchill–Chu, horizontal cylinder) and radiation. Convection correlations differ by 15 to 20 % on
//! thin wires; this one gives off less heat than the others, so it errs towards warm.

mod adiabatic;
mod air;
mod convection;
mod fusing;
mod limits;
mod root;
mod steady;
mod transient;
mod wire;

pub use adiabatic::{adiabatic_current_a, adiabatic_time_s, copper, k_factor};
pub use air::Air;
pub use convection::{convection_w_per_m, nusselt_horizontal_cylinder, radiation_w_per_m, rayleigh};
pub use fusing::{onderdonk_current_a, preece_current_a, preece_diameter_in};
pub use limits::{Bears, LIMIT_RULES, LimitUsed, Limits};
pub use steady::Steady;
pub use transient::WireState;
pub use wire::{Insulation, ThermalWire, WireHeat, ambient_factor};
