//! What the checks find on the invented vehicle, against sums done here by hand from its figures.

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{Finding, Level, Report, run},
    model::{Cavity, Key, Record, RecordLists, Tables, Wire},
};
use std::{path::Path, sync::Arc};

fn book() -> Book {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo/marrowby-pipit.json");
    let text = std::fs::read_to_string(path).expect("the demo is there");
    let mut value: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
    let records: RecordLists =
        serde_json::from_value(value["records"].take()).expect("its records fit the model");
    let mut tables = Tables::default();
    records
        .into_records()
        .into_iter()
        .for_each(|record| tables.put(record));
    Book::from_tables(tables, None)
}

struct Demo {
    see: Snapshot,
    report: Report,
}

fn demo() -> Demo {
    let see = Snapshot::new(Arc::new(book()));
    let report = run(&see);
    Demo { see, report }
}

impl Demo {
    fn key(&self, name: &str) -> Key {
        self.see
            .book()
            .find(name)
            .unwrap_or_else(|| panic!("{name} is in the demo"))
    }

    fn at(&self, check: &str, place: &str) -> &Finding {
        let place = self.key(place);
        let found = self.report.of(check).find(|f| f.place() == Some(place));
        found.unwrap_or_else(|| panic!("{check} is found there: {:#?}", self.report.findings))
    }

    fn labels(&self, finding: &Finding) -> Vec<String> {
        let book = self.see.book();
        finding
            .places
            .iter()
            .map(|p| book.name_of(*p).rsplit(' ').next().unwrap_or_default().to_owned())
            .collect()
    }
}

#[test]
fn every_state_has_an_operating_point() {
    let demo = demo();
    assert_eq!(demo.see.unsolved(), []);
    assert_eq!(demo.see.states().len(), demo.see.book().tables().states.len());
    for state in demo.see.states() {
        assert_eq!(
            state.operated.trouble,
            [],
            "{}",
            demo.see.book().label_of(state.state)
        );
    }
}

#[test]
fn the_undecided_cavity_is_found_and_only_that_one() {
    let demo = demo();
    let found: Vec<_> = demo
        .report
        .of("undecided-cavity")
        .map(|f| demo.labels(f))
        .collect();
    assert_eq!(found, [["MC-A27"]]);
}

/// F6, 10 A: below 13.5 A no blade fuse is promised to open. Hottest: 0.35 mm², then 0.5, then 0.75 in the dash.
#[test]
fn f6_is_too_big_for_the_thin_branches_and_a_pair_of_edits_mends_it() {
    let demo = demo();
    let finding = demo.at("fuse-above-wire", "F6");
    assert_eq!(finding.level, Level::Stop);
    assert_eq!(demo.labels(finding), ["F6", "W44", "W45", "W41"]);
    let celsius: Vec<f64> = finding.figures.iter().take(3).map(|f| f.value).collect();
    // By hand for 0.5 mm² (37.1 mΩ/m, 1.4 mm outside): 13.5 A ÷ 0.7 heats as alone. At a film of 130 °C Ra is 9.5, hence
    // Nu 1.14 by Churchill and Chu: 27 W/(m²·K), and 14 by radiation; the insulation itself takes some 8 K.
    let by_hand = {
        let current = 13.5_f64 / 0.7;
        let per_k = current * current * 0.0371 / 254.5;
        let gives = std::f64::consts::PI * 0.0014 * (27.0 + 14.0);
        (per_k * 234.5 + gives * 60.0) / (gives - per_k) + 8.0
    };
    assert!(celsius[0] > 250.0 && celsius[0] < 340.0, "{celsius:?}");
    assert!((celsius[1] - by_hand).abs() < 12.0, "{celsius:?} {by_hand}");
    assert!(celsius[2] > 105.0 && celsius[2] < 140.0, "{celsius:?}");

    let mend = finding.mend.as_ref().expect("a mend is computed");
    assert_eq!(mend.words, "F6 7.5 A and W44 0.5 mm²");
    let after: Vec<f64> = mend
        .changes
        .iter()
        .map(|c| match c.after.as_ref().expect("it replaces") {
            Record::Fuse(fuse) => fuse.rating_a,
            Record::Wire(wire) => wire.area_mm2.expect("a size"),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(after, [7.5, 0.5]);
}

/// 9 A through 4.8 m of 1 mm² at 18.5 mΩ/m, with two contacts of 4 mΩ: 0.87 V cold, 1.05 V at 75 °C.
#[test]
fn w76_drops_about_a_volt_and_the_next_size_but_one_halves_it() {
    let demo = demo();
    let finding = demo.at("drop-over-limit", "W76");
    let figure = &finding.figures[0];
    let conductor_c = finding
        .figures
        .iter()
        .find(|f| f.unit == "°C")
        .expect("its temperature")
        .value;
    let by_hand = |ohm_per_m: f64| 9.0 * (4.8 * ohm_per_m * (234.5 + conductor_c) / 254.5 + 2.0 * 0.004);
    assert!(
        (figure.value - by_hand(0.0185)).abs() < 0.002,
        "{figure:?} {}",
        by_hand(0.0185)
    );
    assert!(
        (0.9..1.1).contains(&figure.value) && figure.limit == Some(0.5),
        "{figure:?}"
    );
    let mend = finding.mend.as_ref().expect("a mend is computed");
    assert_eq!(mend.words, "W76: 2.5 mm², which drops 0.46 V");
    assert!((by_hand(0.0076) - 0.46).abs() < 0.02);
}

/// The pump's 9.01 A through 1.3 m of 2.5 mm² (7.6 mΩ/m, warm), a splice, a lug and the chassis from G4 to G2 (4 mΩ),
/// less what MC's own current lifts its own return: 0.13 to 0.18 V.
#[test]
fn pedal_track_2_is_lifted_through_w78_while_the_pump_runs() {
    let demo = demo();
    let finding = demo.at("sensor-return-lift", "pedal track 2");
    assert_eq!(finding.level, Level::Stop);
    assert!(demo.labels(finding).contains(&"W78".to_owned()));
    let volts = finding
        .figures
        .iter()
        .find(|f| f.unit == "V")
        .expect("the lift")
        .value;
    let front = 9.01 * (1.3 * 0.0076 * (234.5 + 64.7) / 254.5 + 0.0015 + 0.004);
    // MC's grounds, in parallel to G2: some 1.1 A through 1.4 m of 1.5 mm² each; G2 itself is common to both.
    assert!((0.13..0.18).contains(&volts), "{volts}");
    assert!(volts < front && front - volts < 0.03, "{volts} {front}");
    let percent = finding.figures[0].value;
    assert!((percent - volts / 1.74 * 100.0).abs() < 0.3, "{percent}");
    let start = finding
        .figures
        .iter()
        .find(|f| f.name.contains("starts"))
        .expect("at the pump's start")
        .value;
    assert!((start / volts - 28.0 / 9.0).abs() < 0.3, "{start}");
    assert_eq!(
        demo.report.of("sensor-return-lift").count(),
        1,
        "no other track is lifted"
    );
}

#[test]
fn the_fuse_above_w76_hangs_under_its_drop() {
    let demo = demo();
    let finding = demo.at("fuse-above-wire", "F4");
    assert_eq!(
        finding.follows_from.map(|c| (c.check, c.place)),
        Some(("drop-over-limit", demo.key("W76")))
    );
    let at = |f: &Finding| demo.report.findings.iter().position(|g| g == f);
    assert_eq!(
        at(finding),
        at(demo.at("drop-over-limit", "W76")).map(|at| at + 1)
    );
}

/// 28 A for 100 ms are 78.4 A²s; 30 % of F4's own 340 A²s are 102.
#[test]
fn what_the_vehicle_does_right_is_not_found() {
    let demo = demo();
    for check in [
        "fuse-inrush",
        "fuse-running",
        "fuse-does-not-open",
        "unfused-wire",
        "wire-hot",
        "contact-size",
    ] {
        assert_eq!(demo.report.of(check).count(), 0, "{check}");
    }
    let selective: Vec<_> = demo
        .report
        .of("fuse-selectivity")
        .flat_map(|f| demo.labels(f))
        .collect();
    assert!(!selective.contains(&"F4".to_owned()), "{selective:?}");
}

/// The other deliberate mistakes: the check, its level, where, and how the sentence begins.
#[test]
fn the_other_deliberate_mistakes_are_found_once_each() {
    let demo = demo();
    let expect = [
        ("lingering-signal", Level::Stop, "DN-A2", "W49 from DN-A2"),
        ("floating-input", Level::Stop, "MC-A18", "MC-A18 (ECONOMY) floats"),
        (
            "coil-suppression",
            Level::Stop,
            "K2 coil",
            "K2 coil has no suppression",
        ),
        (
            "can-terminators",
            Level::Warning,
            "terminator plug",
            "CAN at SV: 3 terminators make 40 Ω",
        ),
        ("unplugged-cavity", Level::Warning, "MC-A30", "MC-A30"),
    ];
    for (check, level, place, begins) in expect {
        let finding = demo.at(check, place);
        assert_eq!(finding.level, level, "{check}");
        assert!(finding.sentence.starts_with(begins), "{}", finding.sentence);
        let found = demo.report.of(check).filter(|f| f.level != Level::Note);
        assert_eq!(found.count(), 1, "{check}");
    }
}

/// What may honestly be said besides, and nothing else: six wires in SP1, the donor's face without its side, two main
/// contactors that a battery of 10.5 V does not pull in hot, and two main fuses of one rating in a row.
#[test]
fn whatever_else_is_found_is_known_and_honest() {
    let demo = demo();
    let mistakes = [
        "undecided-cavity",
        "fuse-above-wire",
        "drop-over-limit",
        "sensor-return-lift",
        "lingering-signal",
        "floating-input",
        "coil-suppression",
        "can-terminators",
        "unplugged-cavity",
    ];
    let besides: Vec<(&str, String)> = demo
        .report
        .findings
        .iter()
        .filter(|f| !mistakes.contains(&f.check))
        .map(|f| (f.check, demo.labels(f).first().cloned().unwrap_or_default()))
        .collect();
    let known = [
        ("coil-pull-in", "coil"),
        ("coil-pull-in", "coil"),
        ("fuse-selectivity", "F13"),
        ("view-not-stated", "DN-A"),
        ("splice-crowded", "SP1"),
    ];
    let besides: Vec<(&str, &str)> = besides.iter().map(|(check, at)| (*check, at.as_str())).collect();
    assert_eq!(besides, known);
    assert!(demo.report.findings.len() <= 20, "they fit on one screen");
}

/// 32 A of the converter against 1.35 × 60 A; and what the low-side drivers switch, chassis switches too.
#[test]
fn weak_sources_and_low_side_loads_are_told_as_notes() {
    let demo = demo();
    let weak = demo.at("fuse-never-opens", "F13");
    assert_eq!((weak.level, weak.figures[0].value), (Level::Note, 32.0));
    assert!((weak.figures[0].limit.expect("a limit") - 81.0).abs() < 1e-9);
    assert_eq!(demo.report.of("fuse-never-opens").count(), 1);
    let mc = demo.at("driven-by-chassis", "MC");
    for says in ["W19: MAIN+ coil pulls in", "W20: precharge coil", "W79: K2 coil"] {
        assert!(mc.sentence.contains(says), "{}", mc.sentence);
    }
    assert!(
        demo.at("driven-by-chassis", "BM")
            .sentence
            .contains("W21: MAIN- coil")
    );
    assert_eq!(
        demo.report.of("fuse-breaking").count(),
        0,
        "1 kA and 2 kA are enough"
    );
}

/// What is traced is what was planned, wherever a wire is fed through a fuse at all.
#[test]
fn the_fuse_traced_for_each_wire_is_the_one_that_was_meant() {
    let demo = demo();
    let book = demo.see.book();
    for (run, feed) in demo.see.wiring().wires.iter().zip(&demo.see.protection().wires) {
        let wire: &Wire = book.get(run.wire).expect("a wire of the book");
        if let (Some(meant), Some(traced)) = (wire.fuse, feed.and_then(|f| f.fuse)) {
            assert_eq!(book.label_of(meant), book.label_of(traced), "{}", wire.label);
        }
    }
}

/// The voltages expected at MC-A against MC-A4 as planned, at a nominal 12 V: a coarse net for the derivation.
#[test]
fn the_controllers_cavities_read_as_its_builder_expects() {
    let demo = demo();
    let book = demo.see.book();
    let expect: [(&str, &str, f64, f64); 14] = [
        ("MC-A1", "OFF", 12.0, 13.0),
        ("MC-A2", "OFF", -0.1, 0.1),
        ("MC-A2", "DRIVE", 12.0, 13.5),
        ("MC-A6", "DRIVE", 4.95, 5.0),
        ("MC-A10", "KEY", 0.70, 0.80),
        ("MC-A12", "KEY", 2.9, 3.05),
        ("MC-A14", "DRIVE", 12.0, 13.5),
        ("MC-A16", "BRAKE", 12.0, 13.5),
        ("MC-A17", "BRAKE", -0.1, 0.1),
        ("MC-A19", "KEY+PLUGGED", -0.1, 0.5),
        ("MC-A19", "DRIVE", 11.0, 13.0),
        ("MC-A22", "DRIVE", 0.0, 0.5),
        ("MC-A23", "PRECHARGE", 0.0, 0.5),
        ("MC-A31", "KEY", -6.1, -5.5),
    ];
    for (cavity, state, least, most) in expect {
        let id = book.find_cavity(cavity).expect(cavity);
        let of = demo
            .see
            .states()
            .iter()
            .find(|of| book.label_of(of.state) == state)
            .unwrap_or_else(|| panic!("state {state}"));
        let volts = demo.see.cavity_volts(of, id).own_ground_v;
        assert!(
            volts.is_some_and(|v| v >= least && v <= most),
            "{cavity} in {state}: {volts:?}"
        );
    }
    let floating = |name: &str| {
        let id = book.find_cavity(name).expect(name);
        demo.see
            .states()
            .iter()
            .all(|of| demo.see.cavity_volts(of, id).own_ground_v.is_none())
    };
    assert!(floating("MC-A18") && floating("MC-A27"), "nothing holds these");
    assert!(book.all::<Cavity>().len() > 190);
}
