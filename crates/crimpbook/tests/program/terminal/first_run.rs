//! The program's name alone leads somewhere.

use crate::harness::{ENTER, Home, Terminal, WIRED, book};

#[test]
fn a_workbook_is_started_from_nothing_and_found_again() {
    let home = Home::new();
    let mut screen = Terminal::start(&home, &[]);
    screen.wait_for("Start a workbook of your own");
    screen.then(&["n", "Marsh hen", ENTER], "marsh-hen.crimpbook");
    screen.then(&[ENTER], "what to do next");
    screen.wait_for("Marsh hen");
    screen.press("q");
    screen.ends_tidily();
    let mut screen = Terminal::start(&home, &[]);
    screen.wait_for("workbooks in this folder");
    screen.then(&[ENTER], "what to do next");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn what_cannot_be_opened_is_said_and_the_list_stays() {
    let home = Home::new();
    home.put("notes.crimpbook", "not a workbook");
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &[]);
    screen.wait_for("notes.crimpbook");
    screen.then(&[ENTER], "is not a workbook");
    screen.wait_for("van.crimpbook");
    // A name that is taken is refused, and what was typed stays.
    screen.then(&["n", "van", ENTER, ENTER], "there already");
    screen.wait_for("van.crimpbook");
    screen.press("\x1b");
    screen.wait_for("named next");
    screen.press("\x03");
    screen.ends_tidily();
}

#[test]
fn being_told_to_end_gives_the_terminal_back() {
    for name in ["TERM", "HUP"] {
        let home = Home::new();
        let screen = Terminal::start(&home, &[]);
        screen.wait_for("Start a workbook of your own");
        screen.signal(name);
        screen.ends_tidily();
        assert_eq!(home.names(), [""; 0]);
    }
}

#[test]
fn the_colours_chosen_last_are_there_again() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.then(&["c"], "white on black");
    screen.press("q");
    screen.ends_tidily();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    // The next scheme after the one that was kept.
    screen.then(&["c"], "black on white");
    screen.press("q");
    screen.ends_tidily();
}
