//! `crimpbook demo` without a terminal.

use crate::harness::Home;

#[test]
fn the_demo_is_made_once_and_left_alone_after_that() {
    let home = Home::new();
    let first = home.well(&["demo"]);
    assert_eq!(
        first,
        "marrowby-pipit.crimpbook was made. There is no terminal here to open it on; \
         try: crimpbook check marrowby-pipit.crimpbook\n"
    );
    let made = home.bytes("marrowby-pipit.crimpbook");
    let second = home.well(&["demo"]);
    assert!(
        second.starts_with("marrowby-pipit.crimpbook is there already and was left as it is."),
        "{second}"
    );
    assert_eq!(home.bytes("marrowby-pipit.crimpbook"), made);
    assert_eq!(home.names(), ["marrowby-pipit.crimpbook"]);
}

#[test]
fn it_is_the_same_wherever_it_is_made() {
    let home = Home::new();
    home.well(&["demo", "one.crimpbook"]);
    home.well(&["demo", "two.crimpbook"]);
    let export = |file| home.well(&["export", file, "--json"]);
    assert_eq!(export("one.crimpbook"), export("two.crimpbook"));
}
