//! Testing with a meter: a state, twelve readings, one of them wrong, a wire changed, what lapses, and the record.

use std::fs;

use crate::harness::{DOWN, ENTER, Home, PAGE_DOWN, Terminal};

/// The line of the test at hand.
fn at_hand(screen: &Terminal) -> String {
    let line = screen.lines().into_iter().find(|line| line.starts_with('▸'));
    line.expect("a test at hand")
}

/// The window that a line shows: `10.9 to 15.5 V`; about 0 V where nothing holds it.
fn window(line: &str) -> (f64, f64) {
    let words: Vec<&str> = line.split_whitespace().collect();
    let to = words.iter().position(|word| *word == "to");
    let bounds = to.and_then(|at| Some((words.get(at - 1)?.parse().ok()?, words.get(at + 1)?.parse().ok()?)));
    bounds.unwrap_or((0.0, 0.0))
}

#[test]
fn twelve_readings_a_change_and_the_record() {
    let home = Home::new();
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    screen.then(&["gm"], "stage 1 of ");
    screen.then(&["sdrive", ENTER], "DRIVE, plugs on");
    screen.wait_for("Control wiring up to 60 V only");
    screen.then(&["mmeter 7", ENTER], "taken with meter 7");
    screen.then(&["b12,6", ENTER], "battery reads 12.6 V");
    screen.wait_for("· 0 of ");

    for n in 1..=11 {
        let (least, most) = window(&at_hand(&screen));
        let middle = format!("{:.2}", f64::midpoint(least, most));
        screen.then(&[&middle, ENTER], &format!("· {n} of "));
    }
    // The twelfth is far off: it is not kept before it is said what was found.
    let wrong = at_hand(&screen);
    let (_, most) = window(&wrong);
    screen.then(
        &[&format!("{:.2}", most + 3.0), ENTER],
        "what was found and done?",
    );
    screen.then(&["seal over the contact, crimped anew", ENTER], "✗ 1 WRONG");

    // A wire that the first reading tested gets thicker.
    screen.then(&["/w05", ENTER, "e"], "─ Wire W05 ─");
    screen.press_all(&[DOWN; 4]);
    screen.then(&["1.5", PAGE_DOWN], "say why");
    screen.then(&["runs warm", ENTER], "› W05: size");
    screen.then(&["gm"], "again (A), 1 here");
    screen.then(&["\x1b[H"], "▲ to be read again: W05: size changed");
    screen.press("q");
    screen.ends_tidily();

    let file = "marrowby-pipit.crimpbook";
    home.well(&["record", file, "-o", "record"]);
    let page = fs::read_to_string(home.path("record/record.html")).unwrap();
    for words in [
        "To be read again: what was tested was changed afterwards",
        "W05: size changed",
        "seal over the contact, crimped anew",
        "▲ to be read again",
    ] {
        assert!(page.contains(words), "{words} is missing in the record");
    }
    let readings = fs::read_to_string(home.path("record/tables/readings.csv")).unwrap();
    let taken = readings.lines().filter(|line| line.contains("meter 7")).count();
    assert_eq!(taken, 12, "{readings}");
    let lapsed = |line: &&str| line.contains("meter 7") && line.contains("W05: size changed");
    assert_eq!(readings.lines().filter(lapsed).count(), 1);
}
