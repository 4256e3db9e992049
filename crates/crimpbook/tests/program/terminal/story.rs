//! The whole job once, from an empty workbook to the record, by keyboard alone.

use std::fs;

use crate::harness::{BACKSPACE, DOWN, ENTER, Home, PAGE_DOWN, RIGHT, Terminal};

#[test]
fn from_an_empty_workbook_to_the_record() {
    let home = Home::new();
    home.well(&["new", "cart.crimpbook", "--vehicle", "Test cart"]);
    let mut screen = Terminal::start(&home, &["cart.crimpbook"]);
    screen.wait_for("enter the first unit");
    units_and_connectors(&mut screen);
    decisions(&mut screen);
    wires(&mut screen);
    ticks(&mut screen);
    release_and_change(&mut screen);
    screen.press("q");
    screen.ends_tidily();

    let mut screen = Terminal::start(&home, &["cart.crimpbook"]);
    everything_is_there(&mut screen);
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(
        home.names(),
        ["cart.crimpbook", "cart.crimpbook.copies"],
        "closing leaves one file"
    );
    record(&home);
}

fn units_and_connectors(screen: &mut Terminal) {
    screen.then(
        &[ENTER, "MC", DOWN, "motor controller", PAGE_DOWN],
        "› unit MC entered",
    );
    screen.then(&["aPB", DOWN, "fuse box", PAGE_DOWN], "› unit PB entered");
    screen.then(&["gfa"], "─ New connector ─");
    screen.then(
        &[
            "MC",
            ENTER,
            "MC-A",
            ENTER,
            "rows 6 6, from upper left, seen from mating side",
            PAGE_DOWN,
        ],
        "› connector MC-A entered, 12 cavities",
    );
    screen.wait_for("MC-A  seen from the MATING SIDE");
    // The unit that has no connector yet is offered; this one's face is not known yet.
    screen.then(&["a"], "  unit            › PB");
    screen.then(
        &[ENTER, "PB-A", DOWN, DOWN, "4", PAGE_DOWN],
        "› connector PB-A entered, 4 cavities",
    );
}

fn decisions(screen: &mut Terminal) {
    screen.then(&["/mc-a1", ENTER, "dw"], "MC-A1: wired. Why?");
    screen.then(&["logic supply, page 14", ENTER], "› MC-A1: wired");
    screen.then(&["v", RIGHT, RIGHT, RIGHT], "4 marked");
    screen.then(&["db"], "4 cavities of MC-A (2 to 5): blank. Why?");
    screen.then(&["spare, plugged", ENTER], "■2    ■3    ■4    ■5");
    screen.then(&["/mc-a4", ENTER], "why spare, plugged");
}

fn wires(screen: &mut Terminal) {
    screen.then(&["/mc-a1", ENTER, "w"], "─ New wire ─");
    let ends = ["logic supply", DOWN, "pb-a1", DOWN, DOWN];
    let kind = ["0.5", ENTER, "RD", ENTER, "2.4 m", PAGE_DOWN];
    screen.then(&[&[DOWN][..], &ends, &kind].concat(), "› W1 from PB-A1 to MC-A1");
    screen.then(&["/mc-a7", ENTER, "w"], "─ New wire ─");
    let ends = ["wake-up", DOWN, "pb-a2", DOWN, DOWN];
    let kind = ["16awg", ENTER, "green/white", ENTER, "8 ft", PAGE_DOWN];
    screen.then(&[&[DOWN][..], &ends, &kind].concat(), "› W2 from PB-A2 to MC-A7");
    // The cursor has moved on, and so do both ends.
    screen.then(&["n"], "from PB-A3 to MC-A8");
    // A number and Enter goes to the wire.
    screen.press_all(&["2", ENTER]);
    screen.wait_for_line(&["▸ W2", "GN/WH", "AWG 16", "PB-A2 → MC-A7", "wake-up"]);
}

fn ticks(screen: &mut Terminal) {
    screen.then(&["gbo"], "─ step 1 of ");
    screen.wait_for("PB-A1 → MC-A1");
    screen.then(&[" "], "› W1: cut done");
    screen.then(&[" "], "✓ cut ✓ label");
    screen.then(&["x"], "What was wrong?");
    screen.then(
        &["strands nicked", ENTER],
        "FAILED just now, by Robin: strands nicked",
    );
}

fn release_and_change(screen: &mut Terminal) {
    screen.then(&["glR"], "Release revision A for building.");
    screen.then(&["first cut list", ENTER], "Test cart, rev A");
    screen.then(&["1", ENTER, ENTER], "─ Wire W1 ─");
    screen.press_all(&[DOWN; 4]);
    screen.press_all(&[BACKSPACE; 7]);
    screen.then(&["0.75", PAGE_DOWN], "wire W1 changes after release A: say why");
    // Without one nothing happens.
    screen.then(&[ENTER], "a why is needed here");
    screen.then(
        &["the pump draws more than planned", ENTER],
        "› W1: size 0.5 mm² → 0.75 mm²",
    );
    screen.then(&["gb"], "TO BE REDONE");
}

fn everything_is_there(screen: &mut Terminal) {
    screen.wait_for("Test cart, rev A");
    screen.wait_for_line(&["cavities decided", " 10 of 16 "]);
    screen.press_all(&["1", ENTER]);
    screen.wait_for_line(&["▸ W1", "RD", "0.75 mm²"]);
    screen.then(&["u"], "› undo: W1: size 0.5 mm² → 0.75 mm²");
    screen.wait_for_line(&["▸ W1", "0.5 mm²"]);
    screen.then(&["U"], "› redo: W1: size 0.5 mm² → 0.75 mm²");
    screen.then(&["/mc-a3", ENTER], "decision blank");
    screen.wait_for("why spare, plugged");
    screen.then(&["gl"], "revision A released for building");
    screen.wait_for("W1: size 0.5 mm² → 0.75 mm², because");
}

fn record(home: &Home) {
    home.well(&["record", "cart.crimpbook", "-o", "record"]);
    let page = fs::read_to_string(home.path("record/record.html")).unwrap();
    for words in [
        "Test cart",
        "MC-A12",
        "spare, plugged",
        "the pump draws more than planned",
        "strands nicked",
        "first cut list",
        "<svg",
    ] {
        assert!(page.contains(words), "{words} is missing in the record");
    }
    let wires = fs::read_to_string(home.path("record/tables/wires.csv")).unwrap();
    for wire in ["W1,", "W2,", "W3,"] {
        assert!(wires.lines().any(|line| line.starts_with(wire)), "{wires}");
    }
    let log = home.well(&["log", "cart.crimpbook", "--all", "--verify"]);
    assert!(log.contains("redo: W1") && log.contains("\nverified: "), "{log}");
    assert!(log.lines().any(|line| line.contains("  Robin ")), "{log}");
    // Six cavities of MC-A and PB-A are open, and that stops the builder.
    assert_eq!(home.run(&["check", "cart.crimpbook"]).code, 1);
}
