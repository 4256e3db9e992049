//! Reading a workbook through, its copies, and what is left of a damaged one.

use std::fs;

use crate::harness::{Home, Terminal, WIRED, book};

/// A workbook that was opened on the screen once.
fn opened() -> Home {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.press("q");
    screen.ends_tidily();
    home
}

/// The file with a few letters in its log spoilt.
fn spoilt(home: &Home) -> Vec<u8> {
    let mut bytes = home.bytes("van.crimpbook");
    let place = bytes.windows(5).rposition(|w| w == b"W1: c").unwrap();
    bytes[place..place + 5].copy_from_slice(b"W7: c");
    bytes
}

#[test]
fn a_workbook_is_read_through() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let said = home.well(&["verify", "van.crimpbook"]);
    assert!(said.starts_with("van.crimpbook is as it was written: "), "{said}");
    let head = home.well(&["log", "van.crimpbook", "--verify"]);
    let hash = said.trim_end().rsplit(' ').next().unwrap();
    assert!(head.trim_end().ends_with(hash), "{head}\n{said}");
    assert_eq!(home.names(), ["van.crimpbook"]);
}

#[test]
fn a_damaged_workbook_is_restored_from_the_copy_of_a_day() {
    let home = opened();
    let listed = home.well(&["restore", "van.crimpbook"]);
    assert!(
        listed.starts_with("Copies of van.crimpbook, oldest first:\n  20"),
        "{listed}"
    );
    let day = listed.lines().nth(1).unwrap().trim().split(' ').next().unwrap();
    home.put("van.crimpbook", "rubbish");
    assert_eq!(home.run(&["verify", "van.crimpbook"]).code, 4);
    let said = home.well(&["restore", "van.crimpbook", day]);
    assert!(
        said.contains("what was there is now van.crimpbook.replaced-1"),
        "{said}"
    );
    home.well(&["verify", "van.crimpbook"]);
    assert_eq!(home.bytes("van.crimpbook.replaced-1"), b"rubbish");
}

#[test]
fn a_day_without_a_copy_changes_nothing() {
    let home = opened();
    let before = home.bytes("van.crimpbook");
    let ran = home.run(&["restore", "van.crimpbook", "1999-12-31"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("has no copy of 1999-12-31"), "{}", ran.err);
    assert_eq!(home.bytes("van.crimpbook"), before);
    let none = Home::new();
    none.make("van.crimpbook", &book(WIRED));
    let said = none.well(&["restore", "van.crimpbook"]);
    assert!(said.contains("has no copies yet"), "{said}");
}

#[test]
fn what_is_left_of_a_damaged_workbook_is_saved() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.then(&["gbo "], "› W1: cut done");
    screen.press("q");
    screen.ends_tidily();
    home.put("van.crimpbook", spoilt(&home));
    let ran = home.run(&["check", "van.crimpbook"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(ran.err.contains("crimpbook salvage"), "{}", ran.err);

    let said = home.well(&["salvage", "van.crimpbook", "saved.crimpbook"]);
    assert!(
        said.starts_with("Made saved.crimpbook out of van.crimpbook, which stays as it is: "),
        "{said}"
    );
    assert!(said.contains("Its log ends early: "), "{said}");
    home.well(&["verify", "saved.crimpbook"]);
    // The tick whose entry was spoilt is there by its row.
    let json = home.well(&["export", "saved.crimpbook", "--json"]);
    assert!(json.contains("\"step\": \"cut\""), "{said}");
    let taken = home.run(&["salvage", "van.crimpbook", "saved.crimpbook"]);
    assert_eq!(taken.code, 2);
    assert!(taken.err.contains("is there already"), "{}", taken.err);
}

#[test]
fn a_copy_that_cannot_be_kept_is_said_and_the_screens_stay_open() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    fs::write(home.path("van.crimpbook.copies"), "in the way").unwrap();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.wait_for("no copy was kept today");
    screen.then(&["gbo "], "› W1: cut done");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn a_workbook_without_its_first_page_is_saved_whole() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let verified = home.well(&["verify", "van.crimpbook"]);
    let mut bytes = home.bytes("van.crimpbook");
    bytes[..4096].fill(0);
    home.put("van.crimpbook", bytes);
    let ran = home.run(&["check", "van.crimpbook"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(ran.err.contains("crimpbook salvage"), "{}", ran.err);
    let said = home.well(&["salvage", "van.crimpbook", "saved.crimpbook"]);
    assert!(
        !said.contains("ends early") && !said.contains("Not read"),
        "{said}"
    );
    let saved = home.well(&["verify", "saved.crimpbook"]);
    assert_eq!(saved, verified.replace("van.", "saved."));

    home.put("van.crimpbook", vec![0; 8192]);
    let ran = home.run(&["salvage", "van.crimpbook", "none.crimpbook"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(
        ran.err.contains("crimpbook restore") && !ran.err.contains("salvage saves"),
        "{}",
        ran.err
    );
}
