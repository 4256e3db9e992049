//! What the checks find on the invented vehicle, against sums done here by hand from its figures.

mod quiet;

use crimpbook_tests::tables;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{Finding, Level, Report, run},
    model::{Cavity, Key, Record, Wire},
};
use std::sync::{Arc, OnceLock};

fn book() -> Book {
    Book::from_tables(tables(), None)
}

struct Demo {
    see: Snapshot,
    report: Report,
}

/// Computed once for all tests: it does not change.
fn demo() -> &'static Demo {
    static DEMO: OnceLock<Demo> = OnceLock::new();
    DEMO.get_or_init(|| {
        let see = Snapshot::new(Arc::new(book()));
        let report = run(&see);
        Demo { see, report }
    })
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
        "seal-size",
        "input-level",
        "kind-mismatch",
        "two-drivers",
        "back-feed",
        "coil-reversed",
        "contact-plating",
        "contact-current",
        "splice-placed",
        "splice-sleeve",
        "near-traction",
        "alike-plugs",
        "return-capacity",
        "drum-short",
        "open-wire-demand",
        "output-overload",
        "can-lengths",
        "can-rate",
        "pair-split",
        "wire-ends",
        "decision-against-wires",
        "fuse-not-as-meant",
        "reserved-colour",
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
        (
            "disable-let-go",
            Level::Stop,
            "MC-A19",
            "W54 open: MC-A19 (INHIBIT) goes to 12.",
        ),
        (
            "sensor-not-of-one-unit",
            Level::Stop,
            "pedal track 2",
            "pedal track 2: return goes to SP3, not to MC",
        ),
    ];
    for (check, level, place, begins) in expect {
        let finding = demo.at(check, place);
        assert_eq!(finding.level, level, "{check}");
        assert!(finding.sentence.starts_with(begins), "{}", finding.sentence);
        let found = demo.report.of(check).filter(|f| f.level != Level::Note);
        assert_eq!(found.count(), 1, "{check}");
    }
}

/// W54 off, MC-A19 is held by 4.7 kΩ to the key rail against 100 kΩ inside: 95.5 % of it.
#[test]
fn w54_open_lets_mc_be_ready_with_the_lead_in() {
    let demo = demo();
    let finding = demo.at("disable-let-go", "MC-A19");
    let volts = finding.figures[0].value;
    let state = demo
        .see
        .states()
        .iter()
        .find(|of| demo.see.book().label_of(of.state) == "KEY+PLUGGED")
        .expect("the state");
    let rail = demo.see.book().find_cavity("MC-A2").expect("MC-A2");
    let rail_v = demo
        .see
        .cavity_volts(state, rail)
        .own_ground_v
        .expect("it is fed");
    let by_hand = rail_v * 100.0 / 104.7;
    assert!((volts - by_hand).abs() < 0.05, "{volts} {by_hand}");
    assert!(demo.labels(finding).contains(&"W54".to_owned()));
    let mend = finding.mend.as_ref().expect("a mend in words");
    assert!(
        mend.changes.is_empty() && mend.words.contains("permit"),
        "{}",
        mend.words
    );
    assert!(finding.why_it_matters.contains("its source without power"));
}

/// The lift hangs under where the return goes: one mistake, one finding at the top.
#[test]
fn the_lift_of_track_2_hangs_under_its_return() {
    let demo = demo();
    let cause = demo.at("sensor-return-lift", "pedal track 2").follows_from;
    assert_eq!(
        cause.map(|c| (c.check, c.place)),
        Some(("sensor-not-of-one-unit", demo.key("pedal track 2")))
    );
}

/// Stops come before warnings; what hangs stands right behind its cause; the first ten words say where.
#[test]
fn the_gravest_come_first_and_each_says_where_in_its_first_ten_words() {
    let demo = demo();
    let tops: Vec<&Finding> = demo
        .report
        .findings
        .iter()
        .filter(|f| f.follows_from.is_none())
        .collect();
    assert!(tops.windows(2).all(|two| two[0].level <= two[1].level));
    for finding in &demo.report.findings {
        let place = demo.see.book().name_of(finding.place().expect("a place"));
        let short = place
            .rsplit_once(' ')
            .map_or(place.as_str(), |(_, last)| last)
            .to_owned();
        let start: Vec<&str> = finding.sentence.split_whitespace().take(10).collect();
        let start = start.join(" ");
        // The terminator left in SV is told by its unit.
        let told = start.contains(&short) || (finding.check == "can-terminators" && start.contains("SV"));
        assert!(told, "{short}: {start}");
    }
}

/// What may honestly be said besides, and nothing else: six wires in SP1, the donor's face without its side, two main
/// contactors that a battery of 10.5 V does not pull in hot, two main fuses of one rating in a row, a service socket fed
/// by 5 A that returns through a signal ground of 0.2 A, and a selector that 1.3 mA do not keep clean.
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
        "disable-let-go",
        "sensor-not-of-one-unit",
    ];
    let besides: Vec<(&str, String)> = demo
        .report
        .findings
        .iter()
        .filter(|f| !mistakes.contains(&f.check))
        .map(|f| (f.check, demo.labels(f).first().cloned().unwrap_or_default()))
        .collect();
    let known = [
        ("load-drop", "motor"),
        ("coil-pull-in", "coil"),
        ("coil-pull-in", "coil"),
        ("ground-through-unit", "SV-A2"),
        ("fuse-selectivity", "F13"),
        ("contact-wetting", "contact"),
        ("view-not-stated", "DN-A"),
        ("splice-crowded", "SP1"),
    ];
    let besides: Vec<(&str, &str)> = besides.iter().map(|(check, at)| (*check, at.as_str())).collect();
    assert_eq!(besides, known);
    // What W76 drops, its pump does not get.
    let pump = demo.at("load-drop", "vacuum pump motor");
    assert_eq!(
        pump.follows_from.map(|c| (c.check, c.place)),
        Some(("drop-over-limit", demo.key("W76")))
    );
    assert!(demo.report.findings.len() <= 20, "they fit on one screen");
}

/// The rule that the broken wire defeats is one matter with that wire; no other hangs under somebody's mend.
#[test]
fn a_broken_rule_hangs_under_the_wire_that_lets_go_and_under_no_mend() {
    let see = Snapshot::new(Arc::new(book()));
    let report = crimpbook_workbook::check::run_proven(&see);
    let broken: Vec<_> = report
        .of("rule-broken")
        .filter(|f| f.level != Level::Note)
        .collect();
    assert!(broken.len() >= 3, "{broken:#?}");
    let (hanging, standing): (Vec<&Finding>, Vec<&Finding>) =
        broken.into_iter().partition(|f| f.follows_from.is_some());
    assert!(standing.len() >= 2, "{standing:#?}");
    let hanging: Vec<(&str, &str)> = hanging
        .iter()
        .map(|f| (&f.sentence[..3], f.follows_from.expect("a cause").check))
        .collect();
    assert_eq!(hanging, [("I1 ", "disable-let-go")]);
    let alone = report
        .findings
        .iter()
        .filter(|f| f.follows_from.is_none())
        .count();
    assert!(alone <= 18, "{alone} lines do not fit on a screen of 24");
}
