//! Between the first frame and the screens: keys wait, a signal does not, and what cannot be read is said.

use crate::harness::{BLANK, ENTER, Home, Terminal, WIRED, book};

/// What is seen while a workbook is read.
const READING: &str = "until it is read";

/// The demo vehicle, which takes a while to read.
fn demo() -> Home {
    let home = Home::new();
    home.well(&["demo", "van.crimpbook"]);
    home
}

/// A workbook in which a decision is a word that nobody knows: what is seen at a glance is whole, the record is not.
fn damaged() -> Home {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut bytes = home.bytes("van.crimpbook");
    let whole = b"wired";
    let places: Vec<usize> = (0..bytes.len() - whole.len())
        .filter(|at| bytes[*at..].starts_with(whole))
        .collect();
    assert!(!places.is_empty(), "a wired cavity is in the file");
    for at in places {
        bytes[at..at + whole.len()].copy_from_slice(b"wirex");
    }
    home.put("van.crimpbook", &bytes);
    home
}

const SAID: &str = "table cavities cannot be understood";

#[test]
fn keys_typed_from_the_very_start_are_taken_in_order() {
    let home = demo();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    // Before anything is drawn, while it is read, and after that: Parts, a new unit, its name letter by letter.
    screen.press("gpa");
    screen.wait_for("Marrowby Pipit");
    for letter in "Quartz".chars() {
        screen.press(&letter.to_string());
    }
    screen.wait_for("Quartz");
    screen.press("\x1b");
    screen.wait_for("What is typed would be lost");
    screen.signal("TERM");
    screen.ends_tidily();
}

#[test]
fn a_pasted_text_waits_as_well() {
    let home = demo();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.wait_for(READING);
    screen.press("gpa");
    screen.paste("Feldspar");
    screen.wait_for("Feldspar");
    screen.signal("HUP");
    screen.ends_tidily();
}

#[test]
fn quitting_and_a_signal_while_reading_give_the_terminal_back_at_once() {
    let home = demo();
    let before = home.bytes("van.crimpbook");
    for signal in [Some("TERM"), Some("HUP"), None] {
        let mut screen = Terminal::start(&home, &["van.crimpbook"]);
        screen.wait_for(READING);
        match signal {
            Some(name) => screen.signal(name),
            None => screen.press("q"),
        }
        screen.ends_tidily();
        assert_eq!(home.bytes("van.crimpbook"), before, "looking changes nothing");
    }
    home.well(&["verify", "van.crimpbook"]);
}

#[test]
fn a_record_that_cannot_be_read_ends_it_with_the_terminal_given_back_and_a_sentence() {
    let home = damaged();
    let before = home.bytes("van.crimpbook");
    let said = home.run(&["check", "van.crimpbook"]);
    assert!(said.err.contains(SAID), "{}", said.err);
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    assert_eq!(screen.ended().exit_code(), 4);
    screen.as_before();
    screen.wait_for("van.crimpbook is damaged");
    // The same words as every other command has for it.
    let bare = |words: &str| words.replace(char::is_whitespace, "");
    let (told, sentence) = (bare(&screen.lines().concat()), bare(&said.err));
    assert!(told.contains(&sentence), "{sentence}\n{told}");
    assert_eq!(home.bytes("van.crimpbook"), before);
}

#[test]
fn the_first_screen_goes_on_where_a_record_cannot_be_read_and_loses_no_key() {
    let home = damaged();
    home.make("zwei.crimpbook", &book(BLANK));
    for _ in 0..3 {
        let mut screen = Terminal::start(&home, &[]);
        screen.wait_for("zwei.crimpbook");
        screen.then(&[ENTER], "van.crimpbook is damaged");
        // Letter by letter, so that each would be missed.
        screen.press("n");
        screen.wait_for("named next");
        for letter in "Marsh hen".chars() {
            screen.press(&letter.to_string());
        }
        screen.then(&[ENTER], "marsh-hen.crimpbook");
        screen.signal("TERM");
        screen.ends_tidily();
    }
}
