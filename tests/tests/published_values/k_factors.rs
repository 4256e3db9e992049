//! k factors of IEC 60364-5-54 (read in NEN 1010 clause 543) against the formula of IEC 60949.

use crate::reference::table;
use crimpbook_core::heat::k_factor;
use crimpbook_core::tables::adiabatic::materials;

/// All 24 rows are within 0.5 of the formula, so that the constants K and β, which are from memory, are confirmed.
#[test]
fn every_printed_factor_follows_from_its_temperatures() {
    let rows = table("k_factors.csv");
    assert_eq!(rows.len(), 24);
    for row in rows {
        let name = row.text("material");
        let material = materials().iter().find(|m| m.material == name).unwrap();
        let (from_c, to_c) = (row.number("from_c"), row.number("to_c"));
        let k = k_factor(material, from_c, to_c);
        assert!(
            (k - row.number("k")).abs() < 0.5,
            "{name} {from_c} to {to_c} °C: {k}"
        );
    }
}
