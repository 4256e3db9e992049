//! A file that was altered outside of the program opens, and says so for as long as it is open.

use crate::harness::{BLANK, Home, Terminal, book};

#[test]
fn an_altered_log_is_said_while_the_screens_are_open() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let mut bytes = home.bytes("van.crimpbook");
    let place = bytes
        .windows(5)
        .position(|w| w == b"spare")
        .expect("the why is in the file");
    bytes[place..place + 5].copy_from_slice(b"bored");
    home.put("van.crimpbook", &bytes);
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.wait_for("file altered");
    screen.wait_for("van.crimpbook is damaged: ");
    screen.press("gf");
    screen.wait_for("MC-A");
    screen.wait_for("file altered");
    screen.press("q");
    screen.ends_tidily();
    assert_eq!(home.bytes("van.crimpbook"), bytes, "looking changes nothing");
}
