//! Loaded potentiometers against what is printed of them, a misprint among it.

use crimpbook_core::signal::{loaded_share, loading_error, worst_loading_error};

use crate::reference::table;

#[test]
fn bounds_hold_an_approximation_is_near_and_a_misprint_is_not_copied() {
    let rows = table("potentiometer_loading.csv");
    assert_eq!(rows.len(), 5);
    for row in rows {
        let (track, load) = (row.number("track_ohm"), row.number("load_ohm"));
        let (published, right) = (row.number("published"), row.number("recomputed"));
        let of_full = |share: f64| match row.number_or_empty("supply_v") {
            Some(supply_v) => share * supply_v,
            None => share * 100.0,
        };
        let got = of_full(match row.number_or_empty("wiper") {
            Some(wiper) => loading_error(wiper, track, load),
            None => worst_loading_error(track, load).1,
        });
        assert!((got - right).abs() <= 5e-4 * right.max(0.1), "{got} for {right}");
        match row.text("case") {
            "bound" => assert!(
                got < published && got > 0.85 * published,
                "{got} below {published}"
            ),
            "approximation" => assert!((got - published).abs() < 0.02 * published),
            "misprint" => assert!((got - published).abs() > 1.0, "{got} is the misprint {published}"),
            other => panic!("{other}?"),
        }
    }
}

/// The misprint is of another question: 2.17 % of what is read, not of the full range.
#[test]
fn per_cent_of_the_reading_is_another_figure() {
    let reading = loaded_share(1.0 / 3.0, 1e3, 10e3);
    let of_reading = loading_error(1.0 / 3.0, 1e3, 10e3) / (1.0 / 3.0) * 100.0;
    assert!((reading - 0.326_087).abs() < 1e-6);
    assert!((of_reading - 2.174).abs() < 1e-3);
}
