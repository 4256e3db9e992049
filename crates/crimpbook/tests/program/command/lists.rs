//! `crimpbook list` and `crimpbook tick`: paper out, ticks back in.

use crate::harness::{Home, STOCKED, WIRED, book};

fn home() -> Home {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    home
}

#[test]
fn a_packet_goes_out_on_paper_and_its_ticks_come_back_in_runs() {
    let home = home();
    let before = home.well(&["list", "van.crimpbook", "packet", "MC-A"]);
    assert!(
        before
            .lines()
            .any(|l| l.contains("W1") && l.contains("[ ]") && !l.contains("[x]")),
        "{before}"
    );
    let told = home.well(&["tick", "van.crimpbook", "mc-a", "crimp", "1-4"]);
    assert_eq!(
        told.trim_end(),
        "crimp at mc-a: 2 wires ticked; no such step at cavity 3, 4; before it still open: cut, label, strip"
    );
    let after = home.well(&["list", "van.crimpbook", "packet", "MC-A"]);
    assert_eq!(after.matches("[x]").count(), 2, "{after}");
    let again = home.run(&["tick", "van.crimpbook", "MC-A", "crimp", "1,2"]);
    assert_eq!(again.code, 2);
    assert!(again.err.contains("answered for already"), "{}", again.err);
    let log = home.well(&["log", "van.crimpbook", "--all", "--verify"]);
    assert!(log.contains("crimp") && log.contains("verified: "), "{log}");
}

#[test]
fn whole_rows_of_a_packet_are_ticked_at_once() {
    let home = home();
    // A wire that failed in between keeps its mark; what was done before is not done again.
    home.well(&["tick", "van.crimpbook", "MC-A", "cut", "1"]);
    let told = home.well(&["tick", "van.crimpbook", "MC-A", "all", "1-3"]);
    assert_eq!(
        told.trim_end(),
        "all at MC-A: 13 steps of 2 wires ticked; no such step at cavity 3"
    );
    let packet = home.well(&["list", "van.crimpbook", "packet", "MC-A"]);
    assert!(packet.contains("[x]") && !packet.contains("[ ]"), "{packet}");
    // The far ends have rows of their own.
    let far = home.well(&["list", "van.crimpbook", "packet", "PB-A"]);
    assert!(far.contains("[x]") && far.contains("[ ]"), "{far}");
    let log = home.well(&["log", "van.crimpbook", "--all", "--verify"]);
    assert_eq!(log.matches(" more done").count(), 1, "one entry a run: {log}");
    let before = home.bytes("van.crimpbook");
    for (cavities, words) in [
        ("1,2", "nothing is open at these cavities of MC-A"),
        ("3", "none of these cavities of MC-A has a step in its plan"),
        ("1-9", "no cavity \"9\""),
    ] {
        let ran = home.run(&["tick", "van.crimpbook", "MC-A", "all", cavities]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{cavities}");
        assert!(ran.err.contains(words), "{}", ran.err);
        assert_eq!(home.bytes("van.crimpbook"), before, "{cavities}");
    }
}

#[test]
fn what_failed_is_not_ticked_with_a_whole_row() {
    let failed = r#", "steps_done": [{"id": "s1", "of": {"end": {"wire": "w1", "end": "to"}}, "step": "crimp",
        "outcome": "failed", "note": "strands nicked", "at": "2026-11-20T10:00:00Z", "who": "C."}]"#;
    let home = Home::new();
    home.make("van.crimpbook", &book(&format!("{WIRED}{failed}")));
    let told = home.well(&["tick", "van.crimpbook", "MC-A", "all", "1"]);
    let left = "left, to tick by name: W1 at MC-A1 crimp (failed)";
    assert_eq!(
        told.trim_end(),
        format!("all at MC-A: 6 steps of 1 wire ticked; {left}")
    );
    let again = home.run(&["tick", "van.crimpbook", "MC-A", "all", "1"]);
    assert_eq!(again.code, 2);
    assert!(again.err.contains("W1 at MC-A1 crimp (failed)"), "{}", again.err);
    home.well(&["tick", "van.crimpbook", "MC-A", "crimp", "1"]);
    let packet = home.well(&["list", "van.crimpbook", "packet", "MC-A"]);
    assert!(!packet.contains("[!]"), "{packet}");
}

#[test]
fn what_cannot_be_listed_or_ticked_is_told_and_changes_nothing() {
    let home = home();
    let before = home.bytes("van.crimpbook");
    let cases: [(&[&str], &str); 6] = [
        (
            &["list", "van.crimpbook", "packet", "XX"],
            "no connector called \"XX\"",
        ),
        (
            &["list", "van.crimpbook", "labels", "--width", "3"],
            "give at least 8",
        ),
        (
            &["list", "van.crimpbook", "cuts", "--waste", "900"],
            "0 to 200 percent",
        ),
        (
            &["tick", "van.crimpbook", "MC-A", "glue", "1"],
            "no step called \"glue\"",
        ),
        (
            &["tick", "van.crimpbook", "MC-A", "crimp", "1-9"],
            "no cavity \"9\"",
        ),
        (
            &["tick", "van.crimpbook", "MC-A", "crimp", "3"],
            "none of these cavities",
        ),
    ];
    for (args, words) in cases {
        let ran = home.run(args);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(ran.err.contains(words), "{}", ran.err);
        assert_eq!(home.bytes("van.crimpbook"), before, "{args:?}");
    }
}

#[test]
fn a_workbook_without_connectors_says_that_it_has_none() {
    let home = Home::new();
    home.make("empty.crimpbook", &book(""));
    for verb in [
        &["tick", "empty.crimpbook", "MC-A", "crimp", "1"][..],
        &["list", "empty.crimpbook", "packet", "MC-A"],
    ] {
        let ran = home.run(verb);
        assert!(
            ran.code == 2 && ran.err.contains("there is none yet"),
            "{}",
            ran.err
        );
    }
}

#[test]
fn every_list_is_text_or_csv() {
    let home = home();
    for what in ["cuts", "labels", "parts", "fuses"] {
        home.well(&["list", "van.crimpbook", what]);
        let csv = home.well(&["list", "van.crimpbook", what, "--csv"]);
        let heads = csv.lines().next().unwrap();
        assert!(heads.contains(',') && !heads.contains(' '), "{heads}");
    }
}

#[test]
fn colours_come_from_stock_and_what_stands_against_one_is_said() {
    let home = Home::new();
    home.make("van.crimpbook", &book(STOCKED));
    let before = home.bytes("van.crimpbook");
    let told = home.well(&["colours", "van.crimpbook"]);
    let line = |label: &str| told.lines().find(|l| l.starts_with(label)).unwrap_or_default();
    assert!(
        line("W2").contains("signal") && line("W2").contains("GN") && line("W2").contains("D2"),
        "{told}"
    );
    assert!(
        line("W3").ends_with("every colour that would do is in its plug already"),
        "{told}"
    );
    assert_eq!(home.bytes("van.crimpbook"), before, "looking writes nothing");
    let taken = home.well(&["colours", "van.crimpbook", "--take"]);
    assert_eq!(
        taken.trim_end(),
        "taken as entry 2: colours from stock for 1 wire; 1 wire without one"
    );
    let again = home.run(&["colours", "van.crimpbook", "--take"]);
    assert_eq!(again.code, 2, "{}", again.err);
    let cuts = home.well(&["list", "van.crimpbook", "cuts"]);
    assert!(cuts.contains("D2") && cuts.contains("17.4 m left"), "{cuts}");
    let wrong = home.run(&["colours", "van.crimpbook", "--waste", "900"]);
    assert!(wrong.err.contains("0 to 200 percent"), "{}", wrong.err);
}
