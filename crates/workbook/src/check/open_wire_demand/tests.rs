use super::super::{Level, run_without_mends};
use super::CHECK;
use crate::{model::*, testing::Bench};

/// A sensor between MC's 5 V and return, read at MC-A12.
fn sensor(kind: PartKind, pull: PullTo, limits: &[(&str, &str)]) -> Bench {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    for (number, kind) in [
        ("4", SignalKind::Ground),
        ("6", SignalKind::SensorSupply),
        ("8", SignalKind::SensorReturn),
        ("12", SignalKind::AnalogueIn),
    ] {
        let cavity = bench.cavity("MC-A", number);
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
    }
    let input = bench.cavity("MC-A", "12");
    bench.edit(input, |c: &mut Cavity| {
        c.limits.pull = Some(Pull {
            to: pull,
            ohm: Some(100_000.0),
        })
    });
    bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
    bench.resistor("return", 0.01, &["MC-A8", "MC-A4"]);
    let reference = PartKind::Reference {
        volts_v: 5.0,
        ohm: 0.01,
        limit_a: None,
    };
    bench.part("5 V", reference, &["MC-A6", "MC-A4"]);
    let ends = match kind {
        PartKind::Potentiometer { .. } => ["DI-A3", "DI-A1", "DI-A2"],
        _ => ["DI-A1", "DI-A3", "DI-A2"],
    };
    bench.part("pot", kind, &ends);
    bench.wire("W36", "MC-A6", "DI-A1", 0.5, 1.0);
    bench.wire("W37", "DI-A2", "MC-A12", 0.5, 1.0);
    bench.wire("W38", "DI-A3", "MC-A8", 0.5, 1.0);
    for (label, value) in limits {
        bench.setting("MC", label, value, "V", &["MC-A12"]);
    }
    bench
}

const POT: PartKind = PartKind::Potentiometer { ohm: 5000.0 };
const HALL: PartKind = PartKind::Ratiometric {
    a: 0.15,
    b: 0.7,
    ohm: 1000.0,
    draws_a: 0.01,
};

fn found(bench: &Bench) -> Vec<String> {
    let report = run_without_mends(&bench.snapshot());
    assert!(report.of(CHECK.name).all(|f| f.level == Level::Stop));
    report.of(CHECK.name).map(|f| f.sentence.clone()).collect()
}

/// 5 V × 100/(100 + 5) = 4.76 V at rest, 5 V at full.
#[test]
fn a_pot_without_its_return_reads_nearly_5_v_and_the_limits_decide() {
    let caught = [("LOW_FAULT", "0.30"), ("HIGH_FAULT", "4.70")];
    assert_eq!(found(&sensor(POT, PullTo::Ground, &caught)), [""; 0]);
    let missed = [("LOW_FAULT", "0.30"), ("HIGH_FAULT", "5.00")];
    assert_eq!(
        found(&sensor(POT, PullTo::Ground, &missed)),
        ["W38 open, return of pot: MC-A12 reads 4.76 to 5 V (low fault 0.3 V, high fault 5 V): not caught."]
    );
}

#[test]
fn an_input_pulled_up_reads_full_with_its_signal_off() {
    let limits = [("LOW_FAULT", "0.30")];
    let all = found(&sensor(POT, PullTo::FiveVolts, &limits));
    assert!(
        all[0]
            .starts_with("W37 open, signal of pot: MC-A12 reads 5 V (low fault 0.3 V, no high fault limit)"),
        "{all:?}"
    );
}

#[test]
fn a_lone_hall_track_is_told_as_what_it_is() {
    let limits = [("LOW_FAULT", "0.30"), ("HIGH_FAULT", "4.70")];
    let all = found(&sensor(HALL, PullTo::Ground, &limits));
    assert_eq!(all.len(), 1);
    assert!(all[0].contains("cannot be computed (4.25 V was met)"), "{all:?}");
}

#[test]
fn a_second_track_of_its_own_notices_and_one_on_the_same_return_does_not() {
    let with = |second_return: &str| {
        let mut bench = sensor(
            HALL,
            PullTo::Ground,
            &[("LOW_FAULT", "0.30"), ("HIGH_FAULT", "4.70")],
        );
        for (number, kind) in [
            ("7", SignalKind::SensorSupply),
            ("9", SignalKind::SensorReturn),
            ("11", SignalKind::AnalogueIn),
        ] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(kind);
                c.limits.pull = Some(Pull {
                    to: PullTo::Ground,
                    ohm: Some(100_000.0),
                });
            });
        }
        bench.resistor("return 2", 0.01, &["MC-A9", "MC-A4"]);
        let reference = PartKind::Reference {
            volts_v: 5.0,
            ohm: 0.01,
            limit_a: None,
        };
        bench.part("5 V 2", reference, &["MC-A7", "MC-A4"]);
        bench.part("track 2", HALL, &["DI-A4", "DI-A6", "DI-A5"]);
        bench.wire("W33", "MC-A7", "DI-A4", 0.5, 1.0);
        bench.wire("W34", "DI-A5", "MC-A11", 0.5, 1.0);
        bench.wire("W35", "DI-A6", second_return, 0.5, 1.0);
        bench.setting("MC", "DISAGREE", "6", "%", &["MC-A12", "MC-A11"]);
        found(&bench)
    };
    assert_eq!(with("MC-A9"), [""; 0]);
    assert_eq!(with("MC-A8").len(), 2, "each track's return takes the other's");
}

#[test]
fn limits_that_nobody_entered_are_asked_for() {
    let report = run_without_mends(&sensor(POT, PullTo::Ground, &[]).snapshot());
    assert_eq!(report.of(CHECK.name).count(), 0);
    assert!(
        report
            .cannot_check
            .iter()
            .any(|c| c.missing == "the low and high fault limits of MC-A12, as settings in V")
    );
}
