//! More than any vehicle has is refused with a sentence, and nothing is written.

use std::fmt::Write as _;

use crate::harness::{BLANK, Home, Ran, book};

/// Refused in a line or two, without a workbook or a change.
#[track_caller]
fn refused(ran: &Ran, sentence: &str) {
    assert!(matches!(ran.code, 2 | 4), "{}: {}", ran.code, ran.err);
    assert!(
        ran.err.contains(sentence),
        "{}",
        ran.err.chars().take(2000).collect::<String>()
    );
    assert!(ran.err.len() < 2000, "{} bytes of error", ran.err.len());
}

/// A cell of ten megabytes.
fn ten_megabytes() -> String {
    "spare ".repeat(10 * 1024 * 1024 / 6)
}

/// The table is refused for `why`, and the workbook is as it was.
fn no_table(table: &str, why: &str) {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let before = home.bytes("van.crimpbook");
    let import = [
        "import",
        "van.crimpbook",
        "--cavities",
        "-",
        "--connector",
        "MC-A",
    ];
    refused(&home.run_with_input(&import, table), why);
    assert_eq!(home.bytes("van.crimpbook"), before);
}

#[test]
fn a_cell_of_ten_megabytes_in_a_table() {
    no_table(
        &format!("Pin,Function,Note\n1,KEY,{}\n", ten_megabytes()),
        "line 2, column 3",
    );
}

#[test]
fn a_text_of_ten_megabytes_in_json() {
    let home = Home::new();
    let json = book(&BLANK.replace("motor controller", &ten_megabytes()));
    let ran = home.run_with_input(&["new", "van.crimpbook", "--from", "-"], &json);
    refused(&ran, "its name is longer than 10000 bytes; shorten it");
    assert!(home.names().is_empty(), "{:?}", home.names());
}

#[test]
fn a_table_of_a_hundred_thousand_rows() {
    no_table(
        &format!("Pin,Function\n{}", "1,KEY\n".repeat(100_000)),
        "more than 20000 rows",
    );
}

#[test]
fn a_workbook_of_more_than_a_hundred_thousand_cavities() {
    let home = Home::new();
    let mut cavities = String::new();
    for n in 0..=100_000 {
        let _ = write!(
            cavities,
            "{}{{\"id\": \"c{n}\", \"connector\": \"mca\", \"number\": \"{n}\", \"decision\": \"undecided\"}}",
            if n == 0 { "" } else { "," }
        );
    }
    let json = book(&format!(
        "\"units\": [{{\"id\": \"mc\", \"label\": \"MC\", \"name\": \"controller\"}}],
         \"connectors\": [{{\"id\": \"mca\", \"unit\": \"mc\", \"label\": \"MC-A\"}}],
         \"cavities\": [{cavities}]"
    ));
    let ran = home.run_with_input(&["new", "van.crimpbook", "--from", "-"], &json);
    refused(&ran, "a workbook holds at most 100000");
    assert!(home.names().is_empty(), "{:?}", home.names());
}
