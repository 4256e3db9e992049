//! Two people on one file.

use crate::harness::{BACKSPACE, DOWN, ENTER, ESC, Home, PAGE_DOWN, Terminal, WIRED, book};

fn both() -> (Home, Terminal, Terminal) {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let one = Terminal::start(&home, &["van.crimpbook", "--as", "One"]);
    let other = Terminal::start(&home, &["van.crimpbook", "--as", "Other"]);
    one.opened();
    other.opened();
    (home, one, other)
}

#[test]
fn a_decision_on_what_has_moved_on_is_refused_with_a_sentence() {
    let (home, mut one, mut other) = both();
    other.then(&["/mc-a3", ENTER, "dr"], "MC-A3: reserved. Why?");
    one.then(&["/mc-a3", ENTER, "db"], "MC-A3: blank. Why?");
    one.then(&["spare", ENTER], "› MC-A3: blank");
    other.then(
        &["for the reversing lamp", ENTER],
        "has changed since you looked: nothing was written",
    );
    // What was typed is still there.
    other.wait_for("› for the reversing lamp");
    other.press(ESC);
    other.wait_for("─ leave? ─");
    other.press("y");
    other.wait_for("decision blank");
    for mut screen in [one, other] {
        screen.press("q");
        screen.ends_tidily();
    }
    assert_eq!(
        home.names(),
        ["van.crimpbook", "van.crimpbook.copies"],
        "the last to close leaves one file"
    );
    let log = home.well(&["log", "van.crimpbook"]);
    assert!(log.contains("MC-A3: blank") && !log.contains("reserved"), "{log}");
}

#[test]
fn a_form_never_takes_back_what_another_changed_meanwhile() {
    let (home, mut one, mut other) = both();
    other.then(&["1", ENTER, ENTER], "─ Wire W1 ─");
    one.then(&["1", ENTER, ENTER], "─ Wire W1 ─");
    one.press_all(&[DOWN; 4]);
    one.press_all(&[BACKSPACE; 7]);
    one.then(&["0.75", PAGE_DOWN], "› W1: size 0.5 mm² → 0.75 mm²");
    // The other has seen it by now, or will: the form was opened on what was there before either way.
    other.press_all(&[DOWN; 5]);
    other.press_all(&[BACKSPACE; 2]);
    other.then(&["BU", PAGE_DOWN], "changed since");
    other.press(ESC);
    other.wait_for("─ leave? ─");
    other.press("y");
    other.wait_for_line(&["▸ W1", "RD", "0.75 mm²"]);
    let log = home.well(&["log", "van.crimpbook"]);
    assert!(!log.contains("Other"), "{log}");
}

#[test]
fn what_another_does_is_shown_soon() {
    let (_home, mut one, mut other) = both();
    other.then(&["gl"], "1 of 1 entries");
    one.then(&["gpaXX", PAGE_DOWN], "› unit XX entered");
    other.wait_for("somebody else changed this workbook");
    other.wait_for("unit XX entered");
}
