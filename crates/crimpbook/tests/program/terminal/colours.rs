//! Colours, and none.

use vt100::{Color, Screen};

use crate::harness::{Home, Terminal, WIRED, book};

/// The cells that hold something, with their place.
fn cells(screen: &Screen) -> impl Iterator<Item = &vt100::Cell> {
    let (rows, columns) = screen.size();
    (0..rows)
        .flat_map(move |row| (0..columns).map(move |column| (row, column)))
        .filter_map(|(row, column)| screen.cell(row, column))
}

fn coloured(screen: &Screen) -> bool {
    cells(screen).any(|cell| cell.fgcolor() != Color::Default || cell.bgcolor() != Color::Default)
}

/// The text shown in reverse video, line by line.
fn reversed(screen: &Screen) -> String {
    cells(screen)
        .filter(|cell| cell.inverse())
        .map(|cell| cell.contents())
        .collect()
}

#[test]
fn without_colours_the_cursor_is_still_seen() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    for (more, colour) in [(&[][..], true), (&[("NO_COLOR", "1")], false)] {
        let mut screen = Terminal::start_with(&home, &["van.crimpbook"], more);
        screen.then(&["gf"], "decision wired");
        // The screen's name and the cavity under the cursor.
        screen.wait_until("the cursor on the first cavity", |shown| {
            reversed(shown).contains(" Face ") && reversed(shown).contains("●1")
        });
        screen.wait_until(if colour { "colours" } else { "no colours" }, |shown| {
            coloured(shown) == colour
        });
        screen.press("q");
        screen.ends_tidily();
    }
}

#[test]
fn in_ascii_every_screen_is_ascii() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut screen = Terminal::start(&home, &["van.crimpbook", "--ascii"]);
    for (keys, words) in [
        ("", "what to do next"),
        ("gf", "seen from the MATING SIDE"),
        ("gs", "No cavity has a kind yet"),
        ("gb", "PB-A1 > MC-A1"),
        ("gl", "made from a file"),
        ("gp", "motor controller"),
    ] {
        screen.then(&[keys], words);
        screen.wait_until("only ASCII", |shown| shown.contents().is_ascii());
    }
    screen.press("q");
    screen.ends_tidily();
}
