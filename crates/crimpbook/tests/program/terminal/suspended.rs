//! The shell back for a while, and a laptop that sleeps.

use super::at_work;
use crate::harness::{ENTER, Home, Terminal, WIRED, book};

/// Goes on, with everything drawn anew.
fn goes_on(screen: &mut Terminal) {
    screen.wait_until("the screens again", |shown| {
        shown.alternate_screen() && shown.bracketed_paste() && shown.contents().contains("PB-A1 → MC-A1")
    });
}

#[test]
fn the_terminals_own_key_gives_the_shell_back_until_the_program_goes_on() {
    let (home, mut screen) = at_work();
    screen.press("\x1a");
    screen.wait_stopped();
    screen.as_before();
    screen.signal("CONT");
    goes_on(&mut screen);
    screen.then(&[" "], "› W1: cut done");
    screen.press("q");
    screen.ends_tidily();
    let log = home.well(&["log", "van.crimpbook", "--all", "--verify"]);
    assert!(log.contains("W1: cut done"), "{log}");
}

#[test]
fn a_signal_to_stop_gives_the_terminal_back_and_what_is_typed_stays() {
    let (_home, mut screen) = at_work();
    screen.then(&["f", "rd 0.5"], "rd 0.5");
    screen.signal("TSTP");
    screen.wait_stopped();
    screen.as_before();
    screen.signal("CONT");
    goes_on(&mut screen);
    screen.wait_for("rd 0.5");
    screen.then(&[ENTER], "only rd 0.5");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn the_first_screen_can_be_stopped_as_well() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &[]);
    screen.wait_for("van.crimpbook");
    screen.press("\x1a");
    screen.wait_stopped();
    screen.as_before();
    screen.signal("CONT");
    screen.wait_until("the first screen again", |shown| {
        shown.alternate_screen() && shown.contents().contains("van.crimpbook")
    });
    screen.press("q");
    screen.ends_tidily();
}

/// To the program a laptop that sleeps is a moment in which nothing ran, and after which anything may be otherwise.
#[test]
fn after_a_sleep_what_others_did_is_shown_and_nothing_of_ones_own_is_lost() {
    let (home, mut screen) = at_work();
    screen.then(&[" "], "› W1: cut done");
    screen.signal("STOP");
    screen.wait_stopped();
    // What is typed on a lid that is closing arrives afterwards.
    screen.press(" ");
    home.well(&["tick", "van.crimpbook", "PB-A", "crimp", "2"]);
    screen.signal("CONT");
    screen.wait_for("✓ label");
    screen.press("gl");
    screen.press("t");
    screen.wait_for("W1: label both ends done");
    screen.wait_for("W2 at PB-A2: crimp done");
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(home.names(), ["van.crimpbook", "van.crimpbook.copies"]);
    let verified = home.well(&["verify", "van.crimpbook"]);
    assert!(
        verified.contains("4 entries follow from each other"),
        "{verified}"
    );
}
