//! The calculators over small books, and as a table.

use super::*;
use crate::{model::*, testing::Bench};

fn texts(calculator: &Calculator, typed: &[(&str, &str)]) -> Vec<String> {
    let mut texts = calculator.start(None);
    for (name, text) in typed {
        let at = calculator.inputs.iter().position(|i| i.name == *name).unwrap();
        (*text).clone_into(&mut texts[at]);
    }
    texts
}

fn work_out(name: &str, typed: &[(&str, &str)]) -> Result<Vec<String>, Missing> {
    let calculator = named(name).unwrap();
    let texts = texts(calculator, typed);
    let values = Values::read(calculator.inputs, &texts).unwrap();
    let answer = (calculator.work_out)(&values)?;
    Ok(answer
        .lines
        .iter()
        .map(|l| format!("{}{}: {}", if l.grave { "! " } else { "" }, l.what, l.words))
        .collect())
}

fn line(all: &[String], what: &str) -> String {
    let found = all.iter().find(|l| l.trim_start_matches("! ").starts_with(what));
    found
        .unwrap_or_else(|| panic!("{what} is not in {all:?}"))
        .clone()
}

const TRACK: [(&str, &str); 8] = [
    ("rest", "0.75"),
    ("full", "4.25"),
    ("low-fault", "0.3"),
    ("high-fault", "4.7"),
    ("sensor", "pot"),
    ("track", "5k"),
    ("pulled", "to g"),
    ("pull", "100k"),
];

fn with(changed: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut all = TRACK.to_vec();
    for change in changed {
        all.retain(|(name, _)| *name != change.0);
        all.push(*change);
    }
    all
}

#[test]
fn names_and_inputs_are_unique_and_every_usual_text_can_be_read() {
    let mut names: Vec<&str> = CALCULATORS.iter().map(|c| c.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), CALCULATORS.len());
    for calculator in CALCULATORS {
        let mut seen = std::collections::HashSet::new();
        for input in calculator.inputs {
            assert!(
                seen.insert(input.name),
                "{}: {} twice",
                calculator.name,
                input.name
            );
            assert!(
                input.read(input.usual).is_ok(),
                "{}: {}",
                calculator.name,
                input.name
            );
            assert!(input.words.len() <= 18, "{} is too wide", input.words);
        }
        assert!(calculator.formula.len() <= 3 && !calculator.source.is_empty());
        assert!(calculator.formula.iter().all(|f| f.chars().count() <= 76));
        let start = calculator.start(None);
        let values = Values::read(calculator.inputs, &start).unwrap();
        let empty = (calculator.work_out)(&values);
        assert!(
            calculator.name == "shape" || empty.is_err(),
            "{} answers from nothing",
            calculator.name
        );
    }
}

#[test]
fn a_wire_that_the_limits_catch_and_one_that_they_do_not() {
    let all = work_out("pedal", &with(&[])).unwrap();
    assert_eq!(line(&all, "signal off"), "signal off: reads 0 V: caught");
    assert_eq!(line(&all, "return off"), "return off: reads 4.76 to 5 V: caught");
    let all = work_out("pedal", &with(&[("high-fault", "4.9")])).unwrap();
    assert_eq!(
        line(&all, "return off"),
        "! return off: reads 4.76 to 5 V: NOT caught"
    );
}

#[test]
fn a_hall_track_with_its_return_cut_is_never_called_caught() {
    for pull in [("pull", "100k"), ("pull", "")] {
        for high in ["4.2", "", "4.9"] {
            let all = work_out(
                "pedal",
                &with(&[("sensor", "active"), ("high-fault", high), pull]),
            )
            .unwrap();
            let told = line(&all, "return off");
            assert!(told.starts_with("! return off: cannot tell"), "{told}");
            assert!(!told.contains("caught"));
        }
    }
}

#[test]
fn what_is_missing_is_said_and_never_passes() {
    let all = work_out("pedal", &with(&[("pull", "")])).unwrap();
    assert!(line(&all, "signal off").contains("missing where the input is pulled"));
    let all = work_out("pedal", &with(&[("low-fault", ""), ("high-fault", "")])).unwrap();
    assert!(line(&all, "signal off").ends_with("missing the fault limits"));
    assert_eq!(
        work_out("pedal", &[("rest", "0.75")]),
        Err(Missing("at full".to_owned()))
    );
    let none = work_out("precharge", &[("resistor", "0"), ("capacitance", "7 mF")]);
    assert_eq!(none, Err(Missing("resistor above 0".to_owned())));
}

#[test]
fn what_cannot_be_read_names_the_input() {
    let pedal = named("pedal").unwrap();
    let texts = texts(pedal, &[("full", "1,500")]);
    let (at, why) = Values::read(pedal.inputs, &texts).unwrap_err();
    assert_eq!(pedal.inputs[at].name, "full");
    assert!(why.contains("can mean 1.5 or 1500"), "{why}");
    let sensor = pedal.inputs.iter().find(|i| i.name == "sensor").unwrap();
    assert_eq!(
        sensor.read("magnet"),
        Err("`magnet` is none of potentiometer, active.".to_owned())
    );
}

#[test]
fn a_clipping_track_is_told_with_the_place() {
    let typed = [
        ("rest-1", "0.75"),
        ("between-1", "2.5"),
        ("full-1", "4.25"),
        ("rest-2", "1"),
        ("between-2", "3.25"),
        ("full-2", "4.97"),
    ];
    let all = work_out("tracks", &typed).unwrap();
    let clips = line(&all, "clips");
    assert!(
        clips.contains("track 2 stands still from 88.2 % of the travel on, 11.8 % apart"),
        "{clips}"
    );
    assert!(clips.starts_with("! "));
}

#[test]
fn regeneration_is_the_product() {
    let typed = [
        ("dial", "60"),
        ("coast", "18"),
        ("brake", "35"),
        ("most", "200 A"),
    ];
    let all = work_out("regeneration", &typed).unwrap();
    assert_eq!(all[0], "on lift-off: 60 % x 18 % = 10.8 %, 21.6 A");
    assert_eq!(all[1], "on braking: 60 % x 35 % = 21 %, 42 A");
    let typed = [("dial", "60"), ("coast", "40"), ("brake", "35")];
    let all = work_out("regeneration", &typed).unwrap();
    assert!(line(&all, "larger").starts_with("! larger: lift-off asks for more"));
}

#[test]
fn above_sixty_volts_a_sum_says_that_it_is_no_more() {
    let typed = |volts| {
        [
            ("resistor", "750"),
            ("capacitance", "7 mF"),
            ("time", "5.25 s"),
            ("volts", volts),
        ]
    };
    let high = work_out("precharge", &typed("144")).unwrap();
    assert!(
        high[0].starts_with("! outside: 144 V is above 60 V DC"),
        "{high:?}"
    );
    assert!(
        line(&high, "time given").contains("53 V short: too short"),
        "{high:?}"
    );
    let low = work_out("precharge", &typed("48")).unwrap();
    assert!(low.iter().all(|l| !l.contains("outside")), "{low:?}");
    let caution = named("precharge").unwrap().caution;
    assert!(caution.contains("Arithmetic only") && caution.contains("licensed"));
}

#[test]
fn a_loaded_potentiometer_and_a_divider_by_hand() {
    let all = work_out("loading", &[("track", "10k"), ("pull", "200k"), ("wiper", "50")]).unwrap();
    // 0.5/(1 + 0.25/20) = 0.49383: 2.469 V of 5 V.
    assert_eq!(all[0], "reads: 2.47 V");
    assert!(line(&all, "at most").contains("0.73 % of the supply"), "{all:?}");
    let all = work_out("divider", &[("upper", "15k"), ("lower", "10k"), ("most", "5.5")]).unwrap();
    assert_eq!(all[0], "gives: 4.8 V of 12 V");
    assert!(line(&all, "input bears").ends_with("6.2 V of 5.5 V at 15.5 V: too much"));
}

/// A potentiometer of DI between MC's 5 V and ground, read at MC-A12.
fn potentiometer() -> Bench {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    for (number, kind) in [("4", SignalKind::Ground), ("12", SignalKind::AnalogueIn)] {
        let cavity = bench.cavity("MC-A", number);
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
    }
    let input = bench.cavity("MC-A", "12");
    bench.edit(input, |c: &mut Cavity| {
        c.limits.full_v = Some(4.3);
        c.limits.pull = Some(Pull {
            to: PullTo::Ground,
            ohm: Some(100_000.0),
        });
    });
    bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
    let reference = PartKind::Reference {
        volts_v: 5.0,
        ohm: 0.01,
        limit_a: None,
    };
    bench.part("5 V", reference, &["MC-A6", "MC-A4"]);
    let pot = PartKind::Potentiometer { ohm: 5000.0 };
    bench.part("pot", pot, &["DI-A3", "DI-A1", "DI-A2"]);
    bench.wire("W36", "MC-A6", "DI-A1", 0.5, 1.0);
    bench.wire("W37", "DI-A2", "MC-A12", 0.5, 1.0);
    bench.wire("W38", "DI-A3", "MC-A4", 0.5, 1.0);
    bench
}

fn given(subject: &Subject, name: &str) -> Option<(String, String)> {
    let given = subject.given.iter().find(|g| g.input == name)?;
    Some((given.text.clone(), given.from.clone()))
}

#[test]
fn what_the_workbook_knows_is_filled_in_with_its_origin() {
    let mut bench = potentiometer();
    bench.setting("MC", "PED_REST", "0,82", "V", &["MC-A12"]);
    let see = bench.snapshot();
    let pedal = named("pedal").unwrap();
    let subjects = pedal.subjects(&see);
    assert_eq!(subjects.len(), 1);
    let is = |name: &str, text: &str, from: &str| {
        let wanted = Some((text.to_owned(), from.to_owned()));
        assert_eq!(given(&subjects[0], name), wanted, "{name}");
    };
    is("rest", "0,82 V", "PED_REST");
    is("full", "4.3 V", "limits of the cavity");
    is("sensor", "potentiometer", "pot");
    is("track", "5 kΩ", "pot");
    is("pulled", "to ground", "limits of the cavity");
    is("pull", "100 kΩ", "limits of the cavity");
    let start = pedal.start(subjects.first());
    let values = Values::read(pedal.inputs, &start).unwrap();
    assert!((pedal.work_out)(&values).is_ok());
    let loading = named("loading").unwrap().subjects(&see);
    assert_eq!(
        given(&loading[0], "pull"),
        Some(("100 kΩ".into(), "limits of the cavity".into()))
    );
}

#[test]
fn what_was_measured_while_the_pedal_stood_at_its_ends_comes_first() {
    let mut bench = potentiometer();
    bench.setting("MC", "PED_REST", "0.82", "V", &["MC-A12"]);
    bench.setting("MC", "REGEN_COAST", "18", "%", &["MC-A12"]);
    let part = bench.named::<Part>("pot");
    let state = bench.named::<State>("KEY");
    let dial = |bench: &Bench| {
        let subjects = named("regeneration").unwrap().subjects(&bench.snapshot());
        given(&subjects[0], "dial")
    };
    assert_eq!(dial(&bench), None);
    bench.set(state, part, PartPosition::Travel(0.0));
    assert_eq!(dial(&bench), Some(("0 %".into(), "planned, KEY".into())));
    let at_cavity = bench.cavity("MC-A", "12");
    let reading = bench.put(Reading {
        id: IdMaker::new(99).make(),
        test: Some(TestKind::PlugsOn),
        at_cavity,
        against: End::Free,
        state: Some(state),
        held: None,
        value: Some(0.79),
        measure: "V".to_owned(),
        expected_least: None,
        expected_most: None,
        current_a: None,
        leads_ohm: None,
        taken: chrono::DateTime::UNIX_EPOCH,
        who: String::new(),
        meter: String::new(),
        note: String::new(),
        rested_on: Vec::new(),
        lapsed: None,
    });
    let subjects = named("pedal").unwrap().subjects(&bench.snapshot());
    assert_eq!(
        given(&subjects[0], "rest"),
        Some(("0.79 V".into(), "measured, KEY".into()))
    );
    bench.edit(reading, |r: &mut Reading| {
        r.lapsed = Some("W37 was moved".to_owned())
    });
    let subjects = named("pedal").unwrap().subjects(&bench.snapshot());
    assert_eq!(
        given(&subjects[0], "rest"),
        Some(("0.82 V".into(), "PED_REST".into()))
    );
}

#[test]
fn a_role_that_somebody_gave_counts_more_than_a_name() {
    let mut bench = potentiometer();
    bench.setting("MC", "PED_REST", "0.82", "V", &["MC-A12"]);
    let odd = bench.setting("MC", "P047", "0.9", "V", &["MC-A12"]);
    bench.edit(odd, |s: &mut Setting| s.role = Some(SettingRole::PedalRest));
    let subjects = named("pedal").unwrap().subjects(&bench.snapshot());
    assert_eq!(given(&subjects[0], "rest"), Some(("0.9 V".into(), "P047".into())));
}
