//! Wrong usage: exit code 2, words that help, nothing done.

use crate::harness::{BLANK, Home, book};

/// What is typed, and what the answer must say.
const WRONG: &[(&[&str], &str)] = &[
    (&[], "name the workbook to open"),
    (&["chekc", "van.crimpbook"], "there is no verb chekc"),
    (
        &["van.crimpbook", "check"],
        "write: crimpbook check van.crimpbook",
    ),
    (
        &["van.crimpbook", "log", "--as", "A."],
        "write: crimpbook log van.crimpbook",
    ),
    (
        &["van.crimpbook", "bus.crimpbook"],
        "one workbook is opened at a time",
    ),
    (&["check"], "<FILE>"),
    (&["check", "van.crimpbook", "--xml"], "--xml"),
    (
        &["check", "--explain", "nonsense"],
        "there is no check called nonsense",
    ),
    (&["record", "van.crimpbook"], "--out <DIR>"),
    (&["export", "van.crimpbook"], "--json"),
    (
        &["export", "van.crimpbook", "--json", "--csv"],
        "cannot be used with",
    ),
    (
        &["export", "van.crimpbook", "--csv"],
        "name the folder to write them into",
    ),
    (&["new"], "<FILE>"),
    (
        &["new", "bus.crimpbook", "--from", "x.json", "--vehicle", "Bus"],
        "cannot be used with",
    ),
    (&["new", "bus"], "write bus.crimpbook"),
    (&["new", "bus.json"], "a workbook's name ends in .crimpbook"),
    (&["demo", "demo.db"], "write demo.crimpbook"),
    (&["keys", "van.crimpbook"], "van.crimpbook"),
];

#[test]
fn wrong_usage_is_told_and_does_nothing() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let before = home.bytes("van.crimpbook");
    for (args, words) in WRONG {
        let ran = home.run(args);
        assert_eq!(ran.code, 2, "{args:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{args:?}");
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
    assert_eq!(home.names(), ["van.crimpbook"]);
    assert_eq!(home.bytes("van.crimpbook"), before);
}

#[test]
fn a_workbook_needs_a_terminal_to_be_opened_on_and_that_is_said() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let ran = home.run(&["van.crimpbook"]);
    assert_eq!(
        (ran.code, ran.out.as_str(), ran.err.as_str()),
        (
            2,
            "",
            "crimpbook: van.crimpbook opens on a terminal, and there is none here\n  \
             without one use: crimpbook check, record, export or log\n"
        )
    );
}
