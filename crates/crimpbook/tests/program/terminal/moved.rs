//! The file that goes away, or is another one, while its screens are open.

use std::fs;

use super::at_work;
use crate::harness::{BLANK, book};

#[test]
fn a_tick_on_a_file_that_went_away_is_refused_and_not_shown_as_done() {
    let (home, mut screen) = at_work();
    screen.then(&[" "], "› W1: cut done");
    fs::rename(home.path("van.crimpbook"), home.path("elsewhere")).unwrap();
    screen.then(&[" "], "van.crimpbook was moved away or deleted");
    screen.wait_until("one tick, not two", |shown| {
        let grid = shown.contents();
        grid.contains("✓ cut") && !grid.contains("✓ label")
    });
    // Back where it was, the work goes on.
    fs::rename(home.path("elsewhere"), home.path("van.crimpbook")).unwrap();
    screen.then(&[" "], "› W1: label both ends done");
    screen.press("q");
    screen.ends_tidily();
    home.well(&["verify", "van.crimpbook"]);
}

#[test]
fn a_tick_on_a_file_that_was_replaced_touches_neither() {
    let (home, mut screen) = at_work();
    home.make("other.crimpbook", &book(BLANK));
    let other = home.bytes("other.crimpbook");
    fs::rename(home.path("van.crimpbook"), home.path("mine.crimpbook")).unwrap();
    fs::rename(home.path("other.crimpbook"), home.path("van.crimpbook")).unwrap();
    screen.then(
        &[" "],
        "van.crimpbook is another file than the one that was opened",
    );
    screen.press("q");
    screen.ended();
    assert_eq!(home.bytes("van.crimpbook"), other);
    home.well(&["verify", "mine.crimpbook"]);
}
