//! IEC 60228 against bounds that follow from copper itself; a table compared with itself would show nothing.

use crate::reference::table;
use crimpbook_core::conductor::{copper_factor, ideal_ohm_per_m};
use std::collections::BTreeMap;

/// Every limit is that of copper with up to a fifth more: 17.241/area ≤ R ≤ 1.2 × that.
#[test]
fn limits_lie_between_copper_and_a_fifth_more() {
    let rows = table("iec60228_resistance.csv");
    assert_eq!(rows.len(), 76);
    for row in rows {
        let area_mm2 = row.number("size_mm2");
        let ratio = row.number("ohm_per_km") / 1000.0 / ideal_ohm_per_m(area_mm2);
        let name = format!(
            "{area_mm2} mm², class {}, {}",
            row.text("class"),
            row.text("surface")
        );
        assert!((1.0..=1.2).contains(&ratio), "{name}: {ratio}");
    }
}

/// Flexible class 5 has at least the resistance of class 2, but at 50 mm², where the standard itself has it the other
/// way round; tinned has at least that of plain.
#[test]
fn flexible_and_tinned_conductors_have_more_resistance() {
    let mut ohm = BTreeMap::new();
    for row in table("iec60228_resistance.csv") {
        let key = (
            row.text("size_mm2").to_owned(),
            row.text("class").to_owned(),
            row.text("surface").to_owned(),
        );
        ohm.insert(key, row.number("ohm_per_km"));
    }
    let of = |size: &str, class: &str, surface: &str| {
        ohm.get(&(size.to_owned(), class.to_owned(), surface.to_owned()))
            .copied()
    };
    let mut compared = 0;
    for (size, class, surface) in ohm.keys() {
        if let (Some(two), Some(five)) = (of(size, "2", surface), of(size, "5", surface))
            && class == "5"
        {
            let fifty_plain = size.parse() == Ok(50.0) && surface == "plain";
            assert_eq!(five < two, fifty_plain, "{size} mm² {surface}: {five} and {two}");
            compared += 1;
        }
        if let (Some(plain), Some(tinned)) = (of(size, class, "plain"), of(size, class, "tinned")) {
            assert!(tinned >= plain, "{size} mm² class {class}");
        }
    }
    assert!(compared > 30);
}

/// The standard's table of k_t follows 0.004 per kelvin, the formula of its annex 254.5/(234.5 + t): they differ by up
/// to 0.45 % between 5 and 100 °C.
#[test]
fn the_temperature_table_is_near_the_formula_but_not_on_it() {
    let mut largest: f64 = 0.0;
    for row in table("iec60228_temperature_factor.csv") {
        let (temp_c, k_t) = (row.number("temp_c"), row.number("k_t"));
        let approximate = 1.0 / (1.0 + 0.004 * (temp_c - 20.0));
        assert!((k_t - approximate).abs() < 6e-4, "{temp_c} °C");
        let off = (k_t * copper_factor(temp_c) - 1.0).abs();
        assert!(off < 4.5e-3, "{temp_c} °C: {off}");
        largest = largest.max(off);
    }
    assert!(largest > 3e-3, "the formula is not the table: {largest}");
}
