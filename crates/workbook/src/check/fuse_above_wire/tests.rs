use super::super::{Level, mend_of, run, run_while, run_without_mends};
use crate::{model::*, testing::Bench};

/// A lamp circuit of 1 mm² under a fuse, with a thin branch to an input, all in 60 °C and a tunnel of factor 0.7.
fn lamps(rating_a: f64, branch_mm2: f64, inrush: bool) -> Bench {
    let mut bench = Bench::new();
    bench.state("BRAKE");
    bench.battery();
    let (zone, bundle) = (bench.zone("tunnel", 60.0), bench.bundle("tunnel", Some(0.7)));
    let small = bench.contact_family("S", 0.35, 0.5);
    let fuse = bench.fuse_way("F6", rating_a, "BP", "PB-A11");
    bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
    bench.wire("W39", "PB-A11", "SP7", 1.0, 1.9);
    bench.wire("W44", "SP7", "MC-A16", branch_mm2, 2.8);
    bench.wire("W43", "SP7", "DN-A3", 1.0, 1.2);
    let input = bench.cavity("MC-A", "16");
    bench.edit(input, |c: &mut Cavity| c.contact = Some(small));
    bench.resistor("pull", 10_000.0, &["MC-A16", "BN"]);
    let load = bench.load("brake lamps", 2.5, &["DN-A3", "BN"]);
    if inrush {
        bench.edit(load, |p: &mut Part| {
            if let PartKind::Load {
                inrush_a, inrush_s, ..
            } = &mut p.kind
            {
                (*inrush_a, *inrush_s) = (Some(5.0), Some(0.01));
            }
        });
    }
    for label in ["W39", "W44", "W43"] {
        let wire = bench.named::<Wire>(label);
        bench.edit(wire, |w: &mut Wire| w.bundle = Some(bundle));
    }
    for unit in ["PB", "MC", "DN"] {
        let unit = bench.unit(unit);
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
    }
    bench
}

#[test]
fn the_thin_branch_speaks_first() {
    let report = run_without_mends(&lamps(10.0, 0.35, false).snapshot());
    let finding = report.of("fuse-above-wire").next().unwrap();
    assert_eq!(finding.level, Level::Stop);
    assert!(
        finding
            .sentence
            .starts_with("F6 10 A is too big for W44 0.35 mm² beneath it"),
        "{}",
        finding.sentence
    );
    // 13.5 A in 0.35 mm², by the tunnel's factor as hot as 19.3 A alone: far beyond 155 °C.
    assert!(
        finding.figures[0].value > 200.0 && finding.figures[0].limit == Some(155.0),
        "{:?}",
        finding.figures
    );
}

#[test]
fn a_fuse_that_the_wires_bear_is_silent() {
    let report = run_without_mends(&lamps(3.0, 0.35, false).snapshot());
    assert_eq!(
        report
            .of("fuse-above-wire")
            .filter(|f| f.level != Level::Note)
            .count(),
        0
    );
}

#[test]
fn the_mend_is_a_pair_where_neither_edit_is_enough() {
    let report = run(&lamps(10.0, 0.35, false).snapshot());
    let finding = report.of("fuse-above-wire").next().unwrap();
    assert_eq!(finding.mend.as_ref().unwrap().words, "F6 7.5 A and W44 0.5 mm²");
}

#[test]
fn a_mend_that_was_not_tried_is_said_so_and_tried_when_asked_for() {
    let see = lamps(10.0, 0.35, false).snapshot();
    let report = run_while(&see, &|| false);
    let finding = report.of("fuse-above-wire").next().unwrap();
    assert!(finding.untried && report.untried() >= 1);
    assert!(finding.mend.as_ref().is_none_or(|mend| mend.changes.is_empty()));
    let whole = run(&see);
    let tried = whole.of("fuse-above-wire").next().unwrap();
    assert!(!tried.untried && whole.untried() == 0);
    assert_eq!(mend_of(&see, finding.check, finding.place().unwrap()), tried.mend);
}

#[test]
fn with_the_inrush_stated_a_lower_rating_alone_will_do() {
    let report = run(&lamps(10.0, 0.35, true).snapshot());
    let finding = report.of("fuse-above-wire").next().unwrap();
    assert_eq!(finding.mend.as_ref().unwrap().words, "F6 5 A");
}

#[test]
fn what_refuses_the_thicker_wire_is_said() {
    let mut bench = lamps(20.0, 0.35, false);
    // Planned peaks keep the fuse where it is.
    let main = bench.named::<Wire>("W39");
    bench.edit(main, |w: &mut Wire| {
        w.peak_a = Some(18.0);
        w.area_mm2 = Some(4.0);
    });
    let report = run(&bench.snapshot());
    let finding = report.of("fuse-above-wire").next().unwrap();
    let mend = finding.mend.as_ref().unwrap();
    assert!(
        mend.changes.is_empty() && mend.words.contains("MC-A16 does not take it"),
        "{mend:?}"
    );
}

#[test]
fn without_a_class_it_cannot_be_checked() {
    let mut bench = lamps(10.0, 0.35, false);
    let about = bench.book().all::<About>().values().next().unwrap().id;
    bench.edit(about, |a: &mut About| a.insulation_class_c = None);
    let report = run_without_mends(&bench.snapshot());
    assert_eq!(report.of("fuse-above-wire").count(), 0);
    assert!(
        report
            .cannot_check
            .iter()
            .any(|c| c.missing.contains("insulation class"))
    );
}
