//! Every way out gives the terminal back and loses nothing.

use crate::harness::{ENTER, Home, PAGE_DOWN, Terminal, WIRED, book};

fn at_work() -> (Home, Terminal) {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.wait_until("the modes of a program on the whole screen", |shown| {
        shown.alternate_screen() && shown.bracketed_paste()
    });
    (home, screen)
}

#[test]
fn quitting_gives_the_terminal_back() {
    // Ctrl+C is a key like any other here.
    for key in ["q", "\x03"] {
        let (home, mut screen) = at_work();
        screen.press(key);
        screen.ends_tidily();
        assert_eq!(
            home.names(),
            ["van.crimpbook", "van.crimpbook.copies"],
            "one file stays"
        );
    }
}

#[test]
fn being_told_to_end_gives_the_terminal_back_and_loses_nothing() {
    for name in ["TERM", "HUP"] {
        let (home, mut screen) = at_work();
        screen.then(&["gbo "], "› W1: cut done");
        // In the middle of typing, too.
        screen.then(&["gpa", "half a name"], "half a name");
        screen.signal(name);
        screen.ends_tidily();
        assert_eq!(home.names(), ["van.crimpbook", "van.crimpbook.copies"]);
        let log = home.well(&["log", "van.crimpbook", "--all", "--verify"]);
        assert!(log.contains("W1: cut done"), "{log}");
    }
}

#[test]
fn a_file_that_cannot_be_opened_leaves_the_terminal_alone() {
    let home = Home::new();
    home.put("notes.crimpbook", "not a workbook");
    let mut screen = Terminal::start(&home, &["notes.crimpbook"]);
    let status = screen.ended();
    assert_eq!(status.exit_code(), 4);
    screen.wait_for("notes.crimpbook is not a workbook: it is another kind of file");
    screen.wait_until("no alternate screen", |shown| !shown.alternate_screen());
}

#[test]
fn the_demo_opens_where_there_is_a_terminal() {
    let home = Home::new();
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    // As the README and the help say: digits and Enter go to a wire.
    screen.press_all(&["44", ENTER]);
    screen.wait_for_line(&["▸ W44", "0.35 mm²", "→"]);
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(
        home.names(),
        ["marrowby-pipit.crimpbook", "marrowby-pipit.crimpbook.copies"]
    );
    // Changed, and opened again as it is.
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    screen.then(&["gpaXX", PAGE_DOWN], "› unit XX entered");
    screen.press("q");
    screen.ends_tidily();
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    screen.then(&["gl"], "unit XX entered");
}

#[test]
fn what_is_typed_when_the_program_is_ended_is_told_on_the_terminal() {
    let (_home, mut screen) = at_work();
    screen.then(&["gpa", "half a name"], "half a name");
    screen.signal("TERM");
    screen.ended();
    // The terminal breaks the line where it likes.
    let words = screen.lines().concat();
    assert!(
        words.contains("typed and not taken when it was ended: ") && words.contains("half a name"),
        "{words}"
    );
}
