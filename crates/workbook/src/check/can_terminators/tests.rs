use super::super::{Level, run_without_mends};
use super::first_bus;
use crate::{model::*, testing::Bench};

/// MC, CH and SV on a trunk of 4 m; SV hangs near MC on a stub of 0.3 m.
fn bus(terminated: &[&str]) -> Bench {
    let mut bench = Bench::new();
    for (kind, number, splice, wires) in [
        (SignalKind::CanHigh, "1", "SP10", ["W89", "W59", "W63"]),
        (SignalKind::CanLow, "2", "SP11", ["W90", "W60", "W64"]),
    ] {
        for ((unit, length_m), wire) in [("MC", 0.4), ("CH", 3.7), ("SV", 0.3)].into_iter().zip(wires) {
            let name = format!("{unit}-A{number}");
            bench.wire(wire, &name, splice, 0.5, length_m);
            let cavity = bench.cavity(&format!("{unit}-A"), number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
    }
    for unit in terminated {
        let ends = [format!("{unit}-A1"), format!("{unit}-A2")];
        let kind = PartKind::Terminator { ohm: 120.0 };
        bench.part(&format!("{unit} terminator"), kind, &[&ends[0], &ends[1]]);
    }
    bench
}

fn found(bench: &Bench) -> Vec<(Level, String)> {
    let report = run_without_mends(&bench.snapshot());
    report
        .of("can-terminators")
        .map(|f| (f.level, f.sentence.clone()))
        .collect()
}

#[test]
fn three_terminators_are_one_too_many_and_it_is_the_one_on_the_stub() {
    assert_eq!(
        found(&bus(&["MC", "CH", "SV"])),
        [(
            Level::Warning,
            "CAN at SV: 3 terminators make 40 Ω; 2 make 60 Ω (MC, CH and SV).".to_owned()
        )]
    );
}

#[test]
fn two_are_right_one_and_none_are_not() {
    assert_eq!(found(&bus(&["MC", "CH"])), []);
    assert_eq!(found(&bus(&["CH"]))[0].0, Level::Warning);
    assert_eq!(found(&bus(&[]))[0].0, Level::Stop);
}

#[test]
fn h_on_l_is_a_stop() {
    let mut bench = bus(&["MC", "CH"]);
    let splice = match bench.end("SP10") {
        End::Junction(id) => id,
        other => panic!("{other:?}"),
    };
    let wire = bench.named::<Wire>("W60");
    bench.edit(wire, |w: &mut Wire| w.to = End::Junction(splice));
    let crossed = found(&bench);
    assert!(
        crossed
            .iter()
            .any(|f| f.0 == Level::Stop && f.1.contains("are joined: H on L")),
        "{crossed:?}"
    );
}

#[test]
fn a_pass_through_inside_a_unit_is_part_of_the_bus() {
    let mut bench = bus(&["MC", "CH"]);
    bench.resistor("through", 0.01, &["CH-A1", "CH-A8"]);
    bench.wire("W99", "CH-A8", "XX-A1", 0.5, 1.0);
    let cavity = bench.cavity("XX-A", "1");
    bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::CanHigh));
    let see = bench.snapshot();
    assert_eq!(first_bus(&see).unwrap().units.len(), 4);
}
