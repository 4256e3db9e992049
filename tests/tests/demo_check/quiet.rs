//! What is told beside mistakes: notes, facts that are missing, what is traced and read.

use super::*;

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

/// Notes that the plan of the demo names, each with its place.
#[test]
fn what_is_only_good_to_know_is_a_note() {
    let demo = demo();
    let note = |check: &str, words: &str| {
        let found = demo.report.of(check).find(|f| f.sentence.contains(words));
        let level = found.map(|f| f.level);
        assert_eq!(
            level,
            Some(Level::Note),
            "{check} {words}: {:#?}",
            demo.report.notes
        );
    };
    note("phantom-supply", "MC-A17");
    note(
        "common-cause",
        "brake NO contact and brake NC contact share F6 and W39",
    );
    note(
        "common-cause",
        "pedal track 1 and pedal track 2 share the plug PD-A",
    );
    note("disable-let-go", "CH-A7 (ENABLE)");
    note("can-stages", "40 Ω and SV");
}

/// A mend is tried without the rules' proof, so that no rule may be taken for mended by it.
/// Facts that nobody entered are asked for once each, at the unit they belong to.
#[test]
fn what_is_missing_is_asked_for_once() {
    let demo = demo();
    let mut asked: Vec<String> = demo
        .report
        .cannot_check
        .iter()
        .map(|c| format!("{}: {}", demo.see.book().name_of(c.place), c.missing))
        .collect();
    asked.sort();
    assert_eq!(
        asked,
        [
            "unit AB: the battery's capacity, as a setting in Ah",
            "unit BP: the least current of brake NC contact",
            "unit CB: the least current of AUX contact",
            "unit CH: how long CH-A1 stays on after switch-off",
            "unit DN: the inrush current of brake lamps and how long it lasts",
            "unit DN: the on and off thresholds of DN-A4",
            "unit MC: the capacitance of the traction bus in µF and the ohms of the precharge resistor, as settings linked to MC-A23",
            "unit MC: the low and high fault limits of MC-A12, as settings in V",
            "unit WP: the inrush current of coolant pump motor and how long it lasts",
        ]
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
