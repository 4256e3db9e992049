//! Two laptops: a copy each, brought together again.

use std::fs;

use crate::harness::{DOWN, ENTER, Home, PAGE_DOWN, Terminal, WIRED, book};

/// Opens a copy as somebody, gives W1 a size, and does what else is asked.
fn at_work(home: &Home, file: &str, who: &str, size: &str, then: &[(&[&str], &str)]) {
    let mut screen = Terminal::start(home, &[file, "--as", who]);
    screen.opened();
    screen.then(&["1", ENTER, ENTER], "─ Wire W1 ─");
    screen.press_all(&[DOWN; 4]);
    screen.then(&[size, PAGE_DOWN], &format!("→ {size} mm²"));
    for (keys, words) in then {
        screen.then(keys, words);
    }
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn two_copies_come_together_and_what_both_changed_is_asked() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    fs::copy(home.path("van.crimpbook"), home.path("other.crimpbook")).unwrap();
    at_work(
        &home,
        "van.crimpbook",
        "One",
        "0.75",
        &[(&["gbo1", ENTER], "PB-A1 → MC-A1"), (&[" "], "cut done")],
    );
    at_work(
        &home,
        "other.crimpbook",
        "Other",
        "1",
        &[
            (&["/mc-a3", ENTER, "db"], "Why?"),
            (&["spare", ENTER], "MC-A3: blank"),
        ],
    );
    let before = (home.bytes("van.crimpbook"), home.bytes("other.crimpbook"));

    let ran = home.run(&["merge", "van.crimpbook", "other.crimpbook"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{}", ran.out);
    for words in [
        "wire.W1.area_mm2",
        "0.75 (One, ",
        "1.0 (Other, ",
        "nothing was written",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    assert_eq!(home.bytes("van.crimpbook"), before.0);

    let choice = [
        "merge",
        "van.crimpbook",
        "other.crimpbook",
        "--theirs",
        "wire.W1.area_mm2",
    ];
    let ran = home.run(&[&choice[..], &["--dry-run"]].concat());
    assert!(ran.out.contains("Nothing was written"), "{} {}", ran.out, ran.err);
    assert_eq!(home.bytes("van.crimpbook"), before.0);
    let told = home.well(&choice);
    assert!(told.starts_with("merged 2 changes by Other: "), "{told}");
    assert!(
        told.contains("wire W1 changes") && told.contains("cavity MC-A3 changes"),
        "{told}"
    );
    assert_eq!(
        home.bytes("other.crimpbook"),
        before.1,
        "the other copy stays as it is"
    );
    let again = home.well(&choice[..3]);
    assert!(
        again.contains("has no change that van.crimpbook lacks"),
        "{again}"
    );

    let log = home.well(&["log", "van.crimpbook", "--verify"]);
    assert!(
        log.contains("merged 2 changes by Other") && log.contains("verified: "),
        "{log}"
    );
    assert!(log.contains("brought in: MC-A3: blank"), "{log}");
    // The tick of this copy rested on a size that the other's choice changed.
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.then(&["gb1", ENTER], "TO BE REDONE");
    screen.press("q");
    screen.ends_tidily();
    // And the other way round there is nothing left to ask.
    let back = home.well(&["merge", "other.crimpbook", "van.crimpbook"]);
    assert!(back.starts_with("merged 3 changes by One, Robin: "), "{back}");
    home.well(&["log", "other.crimpbook", "--verify"]);
}

#[test]
fn conflicts_are_chosen_on_the_screen_and_written_once_all_are() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    fs::copy(home.path("van.crimpbook"), home.path("wing.crimpbook")).unwrap();
    at_work(&home, "van.crimpbook", "One", "0.75", &[]);
    at_work(
        &home,
        "wing.crimpbook",
        "Other",
        "1",
        &[
            (&["/mc-a3", ENTER, "db"], "Why?"),
            (&["spare", ENTER], "MC-A3: blank"),
        ],
    );
    let before = (home.bytes("van.crimpbook"), home.bytes("wing.crimpbook"));

    // From the first screen: the workbook, then the other copy. Leaving changes neither.
    let mut screen = Terminal::start(&home, &[]);
    screen.wait_for("wing.crimpbook");
    screen.then(&["m"], "merge which other copy with van.crimpbook?");
    screen.then(&[DOWN, ENTER], "0 of 1 chosen");
    screen.wait_for("comes in by itself");
    screen.then(&["\u{1b}"], "neither copy was changed");
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(
        (home.bytes("van.crimpbook"), home.bytes("wing.crimpbook")),
        before
    );

    // From the Log, and this time through.
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.then(&["glm"], "Merge with which other copy");
    screen.then(&["wing.crimpbook", ENTER], "theirs 1.0 (Other, ");
    screen.then(&[ENTER], "something is not chosen yet");
    screen.then(&["t"], "theirs is taken");
    screen.then(&[ENTER], "Type merge to write it");
    screen.then(&["merge", ENTER], "merged 2 changes by Other");
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(
        home.bytes("wing.crimpbook"),
        before.1,
        "the other copy stays as it is"
    );
    for file in ["van.crimpbook", "wing.crimpbook"] {
        home.well(&["verify", file]);
    }
    let log = home.well(&["log", "van.crimpbook"]);
    assert!(log.contains("brought in: MC-A3: blank"), "{log}");
}

#[test]
fn workbooks_that_are_no_copies_are_not_merged() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    home.make("cart.crimpbook", &book(WIRED));
    let ran = home.run(&["merge", "van.crimpbook", "cart.crimpbook"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("is no copy of this workbook"), "{}", ran.err);
}
