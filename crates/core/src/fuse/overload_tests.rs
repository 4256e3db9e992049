use super::*;
use crate::conductor::ConductorTable;
use crate::fuse::margin::AMPLE;
use crate::heat::ThermalWire;
use crate::tables::fuses::FuseKind;
use crate::tables::insulation::insulation;
use proptest::prelude::*;

fn wire(size: &str, ambient_c: f64, bundle_factor: f64, running_a: f64) -> WireBelow {
    let pvc = insulation("pvc-105").unwrap();
    let size = size.parse().unwrap();
    WireBelow::new(
        ThermalWire::from_tables(&size, ConductorTable::Iso6722, pvc, ambient_c, bundle_factor),
        running_a,
    )
}

fn blade(rating_a: f64) -> Fuse {
    Fuse::of(FuseKind::Blade, rating_a, 40.0)
}

#[test]
fn a_thin_branch_under_a_large_fuse_is_a_stop_and_the_thinnest_comes_first() {
    let wires = [
        wire("0.75", 60.0, 0.7, 2.5),
        wire("0.35", 60.0, 0.7, 0.1),
        wire("0.5", 60.0, 0.7, 0.1),
    ];
    let verdict = overload(&blade(10.0), &wires, Some(300.0));
    assert_eq!(verdict.grade, Grade::Stop);
    assert_eq!(
        verdict.wires.iter().map(|w| w.wire).collect::<Vec<_>>(),
        [1, 2, 0]
    );
    assert!((verdict.opens_from_a - 13.5).abs() < 1e-9);
    let hottest = &verdict.wires[0];
    assert!(hottest.lasting_c > 250.0 && hottest.limit == LimitUsed::Overload && hottest.limit_c == 155.0);
    assert!(verdict.basis.iter().any(|s| s.text.contains("ISO 8820")));
    assert!(verdict.basis.iter().any(|s| s.text.contains("ISO 6722")));
    assert!(verdict.basis.iter().any(|s| s.text.contains("class + 50 K")));
}

/// The same branches, mended: a smaller fuse and a thicker wire end between class and overload limit.
#[test]
fn between_the_limits_it_depends_on_whether_something_can_draw_that_much() {
    let mut drawn = wire("0.5", 60.0, 0.7, 0.1);
    let silent = drawn.clone();
    drawn.can_draw_overload = true;
    let grade = |w: &WireBelow| overload(&blade(7.5), std::slice::from_ref(w), Some(300.0)).grade;
    assert_eq!(grade(&drawn), Grade::Warning);
    assert_eq!(grade(&silent), Grade::Note);
    let limited = WireBelow {
        current_limited_a: Some(0.5),
        ..drawn
    };
    assert_eq!(grade(&limited), Grade::Good);
}

#[test]
fn a_wire_that_fits_its_fuse_is_good_and_its_margin_ample() {
    let verdict = overload(&blade(5.0), &[wire("0.75", 40.0, 0.8, 2.0)], Some(400.0));
    assert_eq!(verdict.grade, Grade::Good);
    let margin = verdict.wires[0].margin.unwrap();
    assert!(margin.at_least && margin.ratio >= 4.0, "{margin:?}");
}

/// As the fuse grows the verdict only gets worse, and between good and stop there is an edge that is neither.
#[test]
fn on_the_edge_is_never_a_stop() {
    let wire = wire("1", 40.0, 1.0, 1.0);
    let verdict = |lasting_c: f64| {
        let rating = wire.heat.allowed_current_a(lasting_c) / 1.35;
        overload(&blade(rating), std::slice::from_ref(&wire), Some(300.0)).wires[0].clone()
    };
    let verdicts: Vec<WireOverload> = (80..170).map(|c| verdict(f64::from(c))).collect();
    assert!(verdicts.windows(2).all(|p| p[0].grade <= p[1].grade));
    assert!(
        verdicts
            .iter()
            .all(|v| !(v.on_the_edge && v.grade == Grade::Stop))
    );
    let first_stop = verdicts.iter().position(|v| v.grade == Grade::Stop).unwrap();
    assert!(verdicts[first_stop - 1].on_the_edge && verdicts[first_stop - 1].grade < Grade::Stop);
    assert!(verdicts[80] == verdict(160.0) && verdicts[80].grade == Grade::Stop);
    assert!(!verdict(90.0).on_the_edge && verdict(90.0).grade == Grade::Good);
    assert!(verdict(104.0).on_the_edge && verdict(104.0).grade == Grade::Note);
}

/// A slow fuse above a wire that bears the lasting current, but not the minute that the fuse may take at twice its rating.
#[test]
fn a_slow_fuse_can_be_too_late_although_the_lasting_current_is_borne() {
    let mut wire = wire("2.5", 40.0, 1.0, 10.0);
    assert!(wire.heat.steady(1.35 * 26.0).conductor_c() < 110.0);
    wire.limits.overload_c = 110.0;
    wire.limits.short_circuit_c = 110.0;
    let fuse = Fuse::of(FuseKind::HighCurrentBlade, 26.0, 40.0);
    let verdict = overload(&fuse, &[wire], Some(500.0));
    let margin = verdict.wires[0].margin.unwrap();
    assert!(margin.ratio < 0.9 && !margin.at_least, "{verdict:?}");
    assert!(margin.current_a > fuse.opens_from_a());
    assert_eq!(verdict.grade, Grade::Stop);
}

#[test]
fn a_source_too_weak_to_reach_the_gate_leaves_only_what_it_gives() {
    let verdict = overload(&blade(30.0), &[wire("0.5", 40.0, 1.0, 1.0)], Some(8.0));
    assert_eq!(verdict.wires[0].lasting_a, 8.0);
    assert!(verdict.wires[0].margin.is_none());
    assert_eq!(verdict.grade, Grade::Good);
}

#[test]
fn a_figure_that_is_none_cannot_be_checked() {
    let mut broken = wire("0.5", 40.0, 1.0, 1.0);
    broken.heat.bundle_factor = 0.0;
    assert_eq!(overload(&blade(5.0), &[broken], None).grade, Grade::CannotCheck);
    assert_eq!(
        overload(&blade(0.0), &[wire("0.5", 40.0, 1.0, 1.0)], None).grade,
        Grade::CannotCheck
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// The quick bound never promises more than the exact figure, and the search misses no current of a sweep.
    #[test]
    fn the_least_margin_is_the_least(
        at in 1_usize..12, share in 0.5_f64..1.4, ambient in 20.0_f64..70.0, factor in 0.5_f64..1.0, kind in 0_usize..4,
    ) {
        let size = crate::tables::conductors::iso6722()[at].size_mm2;
        let wire = wire(&format!("{size} mm2"), ambient, factor, 0.5);
        let rating = wire.heat.allowed_current_a(155.0) / 1.35 * share;
        let fuse = Fuse::of(FuseKind::ALL[kind], rating, 40.0);
        let search = Search::new(&fuse, &wire, &wire.limits);
        let found = least_margin(&search, &stretches(&fuse, rating * 20.0)).unwrap();
        for i in 0..=24 {
            let current = fuse.opens_from_a() * 1.000001 * (20.0_f64 / 1.3501).powf(f64::from(i) / 24.0);
            let (bound, exact) = (search.at_least(current), search.exact(current));
            prop_assert!(bound.ratio <= exact.ratio * 1.003, "{bound:?} {exact:?}");
            prop_assert!(exact.ratio >= found.ratio.min(AMPLE) * 0.98, "{found:?} {exact:?}");
        }
    }
}
