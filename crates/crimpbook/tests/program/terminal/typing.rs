//! Text that is pasted.

use crate::harness::{DOWN, Home, PAGE_DOWN, Terminal, book};

#[test]
fn what_is_pasted_into_a_form_is_one_text_and_one_edit() {
    let home = Home::new();
    home.make("van.crimpbook", &book(""));
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.opened();
    // Where nothing takes text, it is not taken for keys.
    screen.paste("gpaq");
    screen.wait_for("nothing takes text here");
    screen.then(&["gpaMC", DOWN], "what it is");
    screen.paste("motor controller\r\nrear,\trev 3\n");
    screen.wait_for("› motor controller rear, rev 3");
    screen.paste(" \x07of two");
    screen.wait_for("control characters in what was pasted were left out");
    screen.then(&[PAGE_DOWN], "› unit MC entered");
    screen.wait_for_line(&["▸ MC", "motor controller rear, rev 3 of two"]);
    screen.press("q");
    screen.ends_tidily();
    let log = home.well(&["log", "van.crimpbook", "--all"]);
    assert_eq!(log.lines().count(), 2, "made, and one edit: {log}");
}
