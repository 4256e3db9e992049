//! Heat given off by wire-sized cylinders, against values computed outside with the Python package ht 1.2.0
//! (Churchill–Chu) and Sutherland air, and against the textbook example on a pipe.

use crimpbook_core::heat::{
    Air, ThermalWire, WireHeat, convection_w_per_m, nusselt_horizontal_cylinder, radiation_w_per_m, rayleigh,
};
use crimpbook_core::tables::insulation::insulation;

struct Case {
    diameter_mm: f64,
    surface_c: f64,
    ambient_c: f64,
    /// Viscosity, conductivity, Prandtl number.
    air: [f64; 3],
    rayleigh: f64,
    nusselt: f64,
    convection_w_per_m: f64,
    radiation_w_per_m: f64,
}

const CASES: [Case; 3] = [
    Case {
        diameter_mm: 2.4,
        surface_c: 85.0,
        ambient_c: 25.0,
        air: [1.837132e-5, 0.028391, 0.700925],
        rayleigh: 51.4783,
        nusselt: 1.486048,
        convection_w_per_m: 7.9528,
        radiation_w_per_m: 3.2905,
    },
    Case {
        diameter_mm: 1.6,
        surface_c: 105.0,
        ambient_c: 40.0,
        air: [2.011673e-5, 0.029697, 0.696619],
        rayleigh: 13.0028,
        nusselt: 1.192325,
        convection_w_per_m: 7.2306,
        radiation_w_per_m: 2.7786,
    },
    Case {
        diameter_mm: 3.7,
        surface_c: 105.0,
        ambient_c: 60.0,
        air: [2.113990e-5, 0.030431, 0.694303],
        rayleigh: 97.6470,
        nusselt: 1.659532,
        convection_w_per_m: 7.1395,
        radiation_w_per_m: 4.8226,
    },
];

fn near(got: f64, expected: f64, share: f64, what: &str) {
    assert!(
        (got / expected - 1.0).abs() < share,
        "{what}: {got} for {expected}"
    );
}

#[test]
fn wires_give_off_what_ht_says() {
    for case in CASES {
        let diameter_m = case.diameter_mm / 1000.0;
        let [viscosity, conductivity, prandtl] = case.air;
        // The correlation alone, with the air properties as given.
        let film_k = (case.surface_c + case.ambient_c) / 2.0 + 273.15;
        let air = Air {
            viscosity_m2_per_s: viscosity,
            conductivity_w_per_m_k: conductivity,
            prandtl,
            expansion_per_k: 1.0 / film_k,
        };
        let ra = rayleigh(&air, diameter_m, case.surface_c, case.ambient_c);
        near(ra, case.rayleigh, 1e-4, "Ra");
        near(
            nusselt_horizontal_cylinder(case.rayleigh, prandtl),
            case.nusselt,
            1e-5,
            "Nu",
        );
        // Then with our own air.
        let convection = convection_w_per_m(diameter_m, case.surface_c, case.ambient_c);
        near(convection, case.convection_w_per_m, 1e-4, "convection");
        let radiation = radiation_w_per_m(diameter_m, 0.9, case.surface_c, case.ambient_c);
        near(radiation, case.radiation_w_per_m, 1e-4, "radiation");
    }
}

/// ht 1.2.0: Nu at Pr 0.7 in the thin-wire range.
#[test]
fn the_correlation_agrees_with_ht_at_small_numbers() {
    let values = [
        (1.0, 0.814327407526),
        (10.0, 1.08965171316),
        (100.0, 1.56625980145),
        (1e4, 4.01449591105),
    ];
    for (grashof, nusselt) in values {
        near(
            nusselt_horizontal_cylinder(0.7 * grashof, 0.7),
            nusselt,
            1e-10,
            "Nu",
        );
    }
}

/// Cengel, Heat Transfer, example 9-1: 8 cm pipe, 6 m, 70 °C in 20 °C air gives off 443 W; here with our own air, whose
/// conductivity is 1.2 % above the textbook's.
#[test]
fn a_pipe_gives_off_what_the_textbook_says() {
    near(convection_w_per_m(0.08, 70.0, 20.0) * 6.0, 443.0, 0.02, "W");
}

/// The rule of AC 43.13-1B 11-66 (from memory) lets the temperature rise with the root of the current. A wire that is
/// at 200 °C with 26 A in 50 °C air is far cooler at 20 A than the 182 °C of that rule: heat goes with the square.
#[test]
fn the_aviation_estimate_is_on_the_safe_side_of_the_physics() {
    let ptfe = insulation("ptfe-200").unwrap();
    let size = "AWG 20".parse().unwrap();
    let mut wire: WireHeat = ThermalWire::from_tables(&size, Default::default(), ptfe, 50.0, 1.0).heat;
    // The same wire, scaled so that 26 A is what brings it to 200 °C.
    wire.bundle_factor = 26.0 / wire.allowed_current_a(200.0);
    near(wire.steady(26.0).conductor_c(), 200.0, 1e-4, "rated");
    let at_20_a = wire.steady(20.0).conductor_c();
    assert!(at_20_a > 125.0 && at_20_a < 150.0, "{at_20_a}");
    assert!(at_20_a < 182.0);
}
