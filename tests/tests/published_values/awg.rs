//! AWG sizes: geometry and resistance against printed tables.

use crate::reference::table;
use crimpbook_core::conductor::{circular_mils, ideal_ohm_per_m};
use crimpbook_core::quantity::Size;
use std::f64::consts::PI;

fn size(awg: &str) -> Size {
    format!("AWG {awg}").parse().unwrap()
}

/// HyperPhysics, American Wire Gages: every printed diameter and circular mil figure within 0.06 % (thin sizes are
/// printed with four digits).
#[test]
fn the_formula_gives_the_printed_diameters() {
    let rows = table("awg_geometry.csv");
    assert_eq!(rows.len(), 34);
    for row in rows {
        let size = size(row.text("awg"));
        let diameter_in = (size.area_mm2() * 4.0 / PI).sqrt() / 25.4;
        let off = diameter_in / row.number("diameter_in_printed") - 1.0;
        assert!(off.abs() < 6e-4, "{size}: {off}");
        let off = circular_mils(size.area_mm2()) / row.number("circular_mil_printed") - 1.0;
        assert!(off.abs() < 6e-4, "{size}: {off} in circular mils");
    }
}

/// NBS working table of annealed copper (reprint): 17.241 Ω·mm²/km ÷ area is within 0.1 % of every row.
#[test]
fn copper_over_area_gives_the_nbs_resistances() {
    let rows = table("copper_resistance_awg.csv");
    assert_eq!(rows.len(), 34);
    for row in rows {
        let size = size(row.text("awg"));
        let ohm_per_1000_ft = ideal_ohm_per_m(size.area_mm2()) * 304.8;
        let off = ohm_per_1000_ft / row.number("ohm_per_1000_ft") - 1.0;
        assert!(off.abs() < 1e-3, "{size}: {off}");
    }
}
