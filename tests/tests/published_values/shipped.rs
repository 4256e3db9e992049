//! The tables that ship, held against what follows from copper, from each other, and from the reference copies.

use crate::reference::table;
use crimpbook_core::conductor::ideal_ohm_per_m;
use crimpbook_core::heat::k_factor;
use crimpbook_core::tables::conductors::{iec60228_class5, iso6722, row_of};
use crimpbook_core::tables::{adiabatic, gauges, pull_out};

/// ISO 6722 is from memory; its limits lie between copper and a fifth more, and a few per cent below class 5 of
/// IEC 60228 (read in reprints).
#[test]
fn vehicle_wire_lies_between_copper_and_class_5() {
    let mut compared = 0;
    for row in iso6722() {
        let ratio = row.ohm_per_m / ideal_ohm_per_m(row.size_mm2);
        assert!((1.0..=1.2).contains(&ratio), "{} mm²: {ratio}", row.size_mm2);
        if let Some(class5) = row_of(iec60228_class5(), row.size_mm2) {
            let below = row.ohm_per_m / class5.ohm_per_m;
            assert!((0.94..1.0).contains(&below), "{} mm²: {below}", row.size_mm2);
            compared += 1;
        }
    }
    assert!(compared >= 12);
}

/// No slip of the pen between the shipped table and the reprint.
#[test]
fn the_shipped_class_5_table_is_the_reprinted_one() {
    for row in table("iec60228_resistance.csv") {
        if row.text("class") == "5" && row.text("surface") == "plain" {
            let shipped = row_of(iec60228_class5(), row.number("size_mm2")).unwrap();
            assert!((shipped.ohm_per_m * 1000.0 - row.number("ohm_per_km")).abs() < 1e-9);
        }
    }
}

/// The shipped k factors follow from their own temperatures too (formula of IEC 60949).
#[test]
fn the_shipped_k_factors_follow_from_their_temperatures() {
    assert_eq!(adiabatic::k_factors().len(), 24);
    for row in adiabatic::k_factors() {
        let material = adiabatic::materials()
            .iter()
            .find(|m| m.material == row.material)
            .unwrap();
        let k = k_factor(material, row.from_c, row.to_c);
        assert!((k - row.k).abs() < 0.5, "{} {}: {k}", row.material, row.use_);
    }
}

/// "12 gauge is 12 gauge" is wrong: SAE areas are 3 to 15 % below the AWG area of the same number down to 4/0.
#[test]
fn sae_gauges_are_thinner_than_awg_gauges() {
    for row in gauges::sae() {
        let area = |system: &str| {
            let size: crimpbook_core::quantity::Size = format!("{system} {}", row.gauge).parse().unwrap();
            size.area_mm2()
        };
        let ratio = area("SAE") / area("AWG");
        assert!((0.85..0.98).contains(&ratio), "{}: {ratio}", row.gauge);
    }
}

/// Thicker wire must hold more; military demands (MIL-T-7928) are above commercial ones (UL 486A).
#[test]
fn pull_out_forces_grow_with_the_size() {
    for demand in ["commercial", "military"] {
        let rows: Vec<_> = pull_out::pull_out_awg()
            .iter()
            .filter(|r| r.demand == demand)
            .collect();
        assert!(rows.len() > 8);
        assert!(
            rows.windows(2)
                .all(|p| p[0].area_mm2 < p[1].area_mm2 && p[0].force_n < p[1].force_n)
        );
    }
    let rows = pull_out::pull_out_mm2();
    assert!(
        rows.windows(2)
            .all(|p| p[0].area_mm2 < p[1].area_mm2 && p[0].force_n < p[1].force_n)
    );
    for military in pull_out::pull_out_awg().iter().filter(|r| r.demand == "military") {
        let same = |r: &&pull_out::PullOutRow| r.demand == "commercial" && r.area_mm2 == military.area_mm2;
        let commercial = pull_out::pull_out_awg().iter().find(same).unwrap();
        assert!(military.force_n > commercial.force_n);
    }
}
