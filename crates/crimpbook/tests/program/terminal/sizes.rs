//! Windows that are smaller than they should be.

use crate::harness::{ESC, Home, Terminal, WIRED, book};

fn at_work() -> (Home, Terminal) {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    (home, screen)
}

#[test]
fn a_window_too_small_says_so_and_can_be_left() {
    let (_home, mut screen) = at_work();
    screen.resize(30, 8);
    screen.wait_for("Window too small");
    screen.wait_for("q quits");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn where_a_form_is_open_a_window_too_small_says_how_to_leave_that() {
    let (_home, mut screen) = at_work();
    screen.then(&["gpaMC"], "› MC");
    screen.resize(30, 8);
    screen.wait_for("Esc: leave.");
    // Typed text is not lost without a question, here as well.
    screen.press(ESC);
    screen.wait_for("y:");
    screen.press("y");
    screen.wait_gone("Esc");
    screen.wait_for("q quits.");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn a_narrow_window_says_what_it_leaves_out_and_a_wide_one_has_it_again() {
    let (_home, mut screen) = at_work();
    screen.then(&["gf"], "decision wired");
    screen.resize(50, 20);
    screen.wait_for("narrow window: ");
    screen.resize(80, 24);
    screen.wait_for("decision wired");
    screen.resize(140, 40);
    // The bottom line has room for more keys there.
    screen.wait_for("a add connector");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn a_key_that_comes_together_with_a_new_size_is_heard() {
    let (_home, mut screen) = at_work();
    for round in 0..12 {
        screen.resize(if round % 2 == 0 { 90 } else { 80 }, 24);
        screen.press("?");
        screen.wait_for("Keys on Overview");
        screen.resize(if round % 2 == 0 { 85 } else { 100 }, 24);
        screen.press("?");
        screen.wait_gone("Keys on Overview");
    }
    screen.press("q");
    screen.ends_tidily();
}
