//! The screens, in a pseudo-terminal of 80 by 24.

mod altered;
mod build;
mod colours;
mod first_run;
mod killed;
mod leaving;
mod merged;
mod meter;
mod mouse;
mod moved;
mod reading;
mod sizes;
mod story;
mod suspended;
mod two;
mod typing;

use crate::harness::{ENTER, Home, Terminal, WIRED, book};

/// A small workbook open on Build, at its first wire.
fn at_work() -> (Home, Terminal) {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    screen.then(&["gbo1", ENTER], "PB-A1 → MC-A1");
    (home, screen)
}
