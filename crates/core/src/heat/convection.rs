use super::air::{Air, ZERO_C_IN_K};
use std::f64::consts::PI;

/// Acceleration of fall in m/s².
const GRAVITY: f64 = 9.806_65;
/// Stefan–Boltzmann constant in W/(m²·K⁴).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Rayleigh number of a cylinder of this diameter, its surface and the air around it at these temperatures.
pub fn rayleigh(air: &Air, diameter_m: f64, surface_c: f64, ambient_c: f64) -> f64 {
    let grashof = GRAVITY * air.expansion_per_k * (surface_c - ambient_c).abs() * diameter_m.powi(3)
        / air.viscosity_m2_per_s.powi(2);
    grashof * air.prandtl
}

/// Mean Nusselt number of an isothermal horizontal cylinder in still air: Churchill and Chu's single form for
/// 10⁻⁵ < Ra < 10¹². It reads 15 to 20 % below Morgan's at wire-sized Ra.
pub fn nusselt_horizontal_cylinder(rayleigh: f64, prandtl: f64) -> f64 {
    let prandtl_part = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.60 + 0.387 * rayleigh.powf(1.0 / 6.0) / prandtl_part).powi(2)
}

/// Heat in W/m that a horizontal cylinder gives to still air, whose properties are taken at the film temperature.
pub fn convection_w_per_m(diameter_m: f64, surface_c: f64, ambient_c: f64) -> f64 {
    let air = Air::at((surface_c + ambient_c) / 2.0);
    let nusselt = nusselt_horizontal_cylinder(rayleigh(&air, diameter_m, surface_c, ambient_c), air.prandtl);
    PI * nusselt * air.conductivity_w_per_m_k * (surface_c - ambient_c)
}

/// Heat in W/m that a cylinder radiates to walls at ambient temperature.
pub fn radiation_w_per_m(diameter_m: f64, emissivity: f64, surface_c: f64, ambient_c: f64) -> f64 {
    let fourth = |temp_c: f64| (temp_c + ZERO_C_IN_K).powi(4);
    emissivity * STEFAN_BOLTZMANN * PI * diameter_m * (fourth(surface_c) - fourth(ambient_c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_heat_flows_without_a_difference() {
        assert_eq!(convection_w_per_m(0.002, 40.0, 40.0), 0.0);
        assert_eq!(radiation_w_per_m(0.002, 0.9, 40.0, 40.0), 0.0);
    }

    #[test]
    fn heat_flows_the_other_way_into_a_cold_wire() {
        assert!(convection_w_per_m(0.002, 20.0, 40.0) < 0.0);
        assert!(radiation_w_per_m(0.002, 0.9, 20.0, 40.0) < 0.0);
    }
}
