//! Wire temperatures and times against an independent integration by a numerical library. The figures are kept in
//! `tests/data/heat` with the library's versions; `python3 tests/data/heat/integrate.py` makes them anew where numpy and
//! scipy are installed.

use std::path::Path;

use crimpbook_core::{
    heat::{Steady, ThermalWire, WireHeat, WireState},
    tables::insulation::insulation,
};

/// Most a steady temperature may differ, K.
const STEADY_K: f64 = 0.5;
/// Most a time above 1 s may differ, and one below.
const TIME_SHARE: f64 = 0.005;
const SHORT_TIME_SHARE: f64 = 0.01;

/// Rows of a kept table as numbers; what is no number is not a number.
fn rows(name: &str) -> Vec<Vec<f64>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/heat").join(name);
    let text = std::fs::read_to_string(path).expect("the figures are there");
    assert!(text.starts_with("# scipy "), "the library and its version");
    let row = |line: &str| {
        line.split(',')
            .map(|cell| cell.parse().unwrap_or(f64::NAN))
            .collect()
    };
    text.lines().skip(2).map(row).collect()
}

fn wire(row: &[f64]) -> WireHeat {
    let size = format!("{} mm2", row[0]).parse().expect("a size");
    let pvc = insulation("pvc-105").expect("it is in the table");
    ThermalWire::from_tables(&size, Default::default(), pvc, row[1], row[2]).heat
}

#[test]
fn steady_temperatures_agree_within_half_a_kelvin() {
    let (mut worst_k, mut melting) = (0.0_f64, 0);
    for row in rows("steady.csv") {
        let (current_a, copper_c, surface_c) = (row[3], row[4], row[5]);
        match wire(&row).steady(current_a) {
            Steady::Settles {
                conductor_c,
                surface_c: ours_c,
            } => {
                let apart_k = (conductor_c - copper_c).abs().max((ours_c - surface_c).abs());
                assert!(apart_k <= STEADY_K, "{row:?}: {conductor_c} and {ours_c} °C");
                worst_k = worst_k.max(apart_k);
            }
            Steady::Melts => {
                assert!(copper_c.is_nan(), "{row:?}: no balance");
                melting += 1;
            }
        }
    }
    println!("worst {worst_k} K, {melting} without a balance");
}

#[test]
fn times_agree_within_half_a_percent() {
    let (mut worst, mut worst_short, mut never, mut compared) = (0.0_f64, 0.0_f64, 0, 0);
    let mut apart = Vec::new();
    for row in rows("times.csv") {
        let wire = wire(&row);
        let from: WireState = wire.running_state(row[3]).expect("it runs in balance");
        let ours = wire.times_to(row[4], from, [105.0, 155.0, 160.0]);
        for (ours, theirs_s) in ours.into_iter().zip(row[5..].iter().copied()) {
            let Some(ours_s) = ours else {
                assert!(theirs_s.is_nan(), "{row:?}: never, the library says {theirs_s} s");
                never += 1;
                continue;
            };
            let share = (ours_s / theirs_s - 1.0).abs();
            let (most, worst) = if theirs_s > 1.0 {
                (TIME_SHARE, &mut worst)
            } else {
                (SHORT_TIME_SHARE, &mut worst_short)
            };
            if share > most {
                apart.push(format!("{row:?}: {ours_s} s against {theirs_s} s"));
            }
            *worst = worst.max(share);
            compared += 1;
        }
    }
    assert_eq!(apart, Vec::<String>::new());
    println!("worst {worst} above 1 s, {worst_short} below, {never} never");
    assert!(
        compared > 150 && never > 20,
        "{compared} times compared, {never} never"
    );
}
