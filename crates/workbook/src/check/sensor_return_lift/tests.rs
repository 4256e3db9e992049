use super::super::{Level, run_without_mends};
use crate::{model::*, testing::Bench};

/// A pedal track read by MC; its return goes to MC's own return, or to a splice that it shares with a pump of 9 A.
fn pedal(shared: bool) -> Bench {
    let mut bench = Bench::new();
    bench.state("DRIVE");
    bench.battery();
    for (number, kind) in [
        ("4", SignalKind::Ground),
        ("7", SignalKind::SensorSupply),
        ("9", SignalKind::SensorReturn),
        ("11", SignalKind::AnalogueIn),
    ] {
        let cavity = bench.cavity("MC-A", number);
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
    }
    bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
    bench.resistor("return", 0.01, &["MC-A9", "MC-A4"]);
    let reference = PartKind::Reference {
        volts_v: 5.0,
        ohm: 1.0,
        limit_a: Some(0.1),
    };
    bench.part("5 V", reference, &["MC-A7", "MC-A4"]);
    let hall = PartKind::Ratiometric {
        a: 0.075,
        b: 0.35,
        ohm: 1000.0,
        draws_a: 0.01,
    };
    bench.part("track 2", hall, &["PD-A2", "PD-A6", "PD-A4"]);
    bench.wire("W33", "MC-A7", "PD-A2", 0.5, 2.9);
    bench.wire("W34", "PD-A4", "MC-A11", 0.5, 2.9);
    bench.wire("W35", "PD-A6", if shared { "SP3" } else { "MC-A9" }, 0.5, 0.6);
    bench.fuse_way("F4", 15.0, "BP", "PB-A16");
    bench.wire("W76", "PB-A16", "VP-A1", 2.5, 4.8);
    bench.wire("W77", "VP-A2", "SP3", 2.5, 0.9);
    bench.wire("W78", "SP3", "G4", 2.5, 1.3);
    bench.chassis("G4", "BN", 0.004);
    let pump = bench.load("pump", 9.0, &["VP-A1", "VP-A2"]);
    bench.edit(pump, |p: &mut Part| {
        if let PartKind::Load {
            inrush_a, inrush_s, ..
        } = &mut p.kind
        {
            (*inrush_a, *inrush_s) = (Some(28.0), Some(0.1));
        }
    });
    bench
}

/// 9.01 A × (1.3 m × 7.6 mΩ/m + 1 mΩ splice + 0.5 mΩ lug + 4 mΩ) = 0.139 V, less 0.01 A in MC's own return.
#[test]
fn a_return_on_the_pumps_splice_is_lifted() {
    let see = pedal(true).snapshot();
    let report = run_without_mends(&see);
    let finding = report.of("sensor-return-lift").next().unwrap();
    assert_eq!(finding.level, Level::Stop);
    let volts = finding.figures[1].value;
    let copper =
        see.states()[0].temperatures.conductor_c[see.wiring().wire_at(finding_wire(finding)).unwrap()];
    let by_hand = 9.01 * (1.3 * 0.0076 * (234.5 + copper) / 254.5 + 0.0015 + 0.004);
    assert!((volts - by_hand).abs() < 0.002, "{volts} {by_hand}");
    assert!(
        finding.sentence.starts_with("track 2: return lifted by 0.1"),
        "{}",
        finding.sentence
    );
    assert!(
        finding.sentence.contains("through W78 in DRIVE"),
        "{}",
        finding.sentence
    );
    let start = finding
        .figures
        .iter()
        .find(|f| f.name.contains("starts"))
        .unwrap();
    assert!(
        start.value > 2.8 * volts && start.value < 3.3 * volts,
        "{}",
        start.value
    );
    assert_eq!(
        finding.mend.as_ref().unwrap().words,
        "W35 to MC-A9, which is free, instead of SP3, about 2.9 m"
    );
}

fn finding_wire(finding: &super::super::Finding) -> Id<Wire> {
    finding.places.iter().find_map(|p| p.as_id()).unwrap()
}

/// The lift at the input: it reads too high by (1 − 0.075) of it at rest, (1 − 0.425) at full.
#[test]
fn the_error_at_rest_and_full_is_what_the_input_reads() {
    let mut bench = pedal(true);
    let read = |bench: &Bench| {
        let see = bench.snapshot();
        let input = see.book().find_cavity("MC-A11").unwrap();
        see.cavity_volts(&see.states()[0], input).own_ground_v.unwrap()
    };
    let lifted = read(&bench);
    let report = run_without_mends(&bench.snapshot());
    let finding = report.of("sensor-return-lift").next().unwrap();
    let (state, pump) = (bench.named::<State>("DRIVE"), bench.named::<Part>("pump"));
    bench.set(state, pump, PartPosition::Off);
    let told = finding
        .figures
        .iter()
        .find(|f| f.name.contains("at rest") && f.unit == "V")
        .unwrap();
    assert!(
        (lifted - read(&bench) - told.value).abs() < 0.002,
        "{} {}",
        lifted - read(&bench),
        told.value
    );
}

#[test]
fn a_return_to_the_reader_is_not_lifted() {
    let report = run_without_mends(&pedal(false).snapshot());
    assert_eq!(report.of("sensor-return-lift").count(), 0);
}

/// A sensor that nothing feeds shows no lift; that is no reason to pass it.
#[test]
fn without_a_state_in_which_it_is_fed_it_cannot_be_checked() {
    let mut bench = pedal(true);
    let fed = "an operating state in which track 2 is fed".to_owned();
    assert!(!bench.missing_for("sensor-return-lift").contains(&fed));
    let reference = bench.named::<Part>("5 V");
    bench.edit(reference, |p: &mut Part| p.ends.clear());
    assert!(bench.missing_for("sensor-return-lift").contains(&fed));
}
