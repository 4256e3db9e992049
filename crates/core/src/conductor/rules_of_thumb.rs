//! Formulas of published handbooks. No verdict rests on them: voltage drops come from the solved network. They stand
//! here so that the examples the handbooks print are held against code, and for a note beside a figure.

use super::resistance::copper_factor;
use crate::tables::gauges::MM2_PER_CIRCULAR_MIL;

/// Voltage lost in V: current in A × resistance per length × length, the length being that of feed and return.
pub fn drop_v(current_a: f64, ohm_per_length: f64, length: f64) -> f64 {
    current_a * ohm_per_length * length
}

/// Area in circular mils.
pub fn circular_mils(area_mm2: f64) -> f64 {
    area_mm2 / MM2_PER_CIRCULAR_MIL
}

/// Circular mils needed: K·I·L/E, K 10.75 Ω·cmil/ft for copper, L feed and return in ft, E the allowed drop in V.
pub fn circular_mils_needed(current_a: f64, round_trip_ft: f64, allowed_drop_v: f64) -> f64 {
    10.75 * current_a * round_trip_ft / allowed_drop_v
}

/// Length that loses as much voltage at a conductor temperature as `length` does at 20 °C: 254.5·L/(234.5 + T)
/// (AC 43.13-1B 11-66).
pub fn allowed_length_at(length: f64, temp_c: f64) -> f64 {
    length / copper_factor(temp_c)
}

/// Estimate in °C of a wire's temperature at a current: T1 + (TR − T1)·√(I/Imax) (AC 43.13-1B 11-66, which calls it
/// quite conservative: heat goes with the square of the current, not with its root).
pub fn faa_temperature_estimate_c(ambient_c: f64, rated_c: f64, current_a: f64, largest_a: f64) -> f64 {
    ambient_c + (rated_c - ambient_c) * (current_a / largest_a).sqrt()
}

/// Largest overcurrent device in A that 33 CFR 183.455(c)(1) lets protect a conductor of this table current below 50 V
/// in a boat: 150 % of it. "Fuse no larger than the ampacity" is stricter than that rule.
pub fn boat_fuse_most_a(table_current_a: f64) -> f64 {
    1.5 * table_current_a
}
