//! The help is what a person learns from; it changes only on purpose.

use crate::harness::{BLANK, Home, book};

const VERBS: &[&str] = &[
    "demo",
    "new",
    "check",
    "questions",
    "volts",
    "suppose",
    "suspects",
    "try",
    "rules",
    "record",
    "export",
    "import",
    "part",
    "compare",
    "settings",
    "log",
    "verify",
    "restore",
    "salvage",
    "list",
    "colours",
    "tick",
    "merge",
    "reckon",
    "keys",
    "schema",
];

#[test]
fn the_help_of_the_program_and_of_every_verb() {
    let home = Home::new();
    insta::assert_snapshot!("program", home.well(&["--help"]));
    for verb in VERBS.iter().copied() {
        insta::assert_snapshot!(verb, home.well(&[verb, "--help"]));
    }
    let page = home.well(&["--help"]);
    let listed = page
        .split("Verbs:\n")
        .nth(1)
        .and_then(|rest| rest.split("\n\n").next())
        .unwrap();
    let listed: Vec<&str> = listed
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert_eq!(listed, VERBS, "a verb without its help here");
}

#[test]
fn help_and_version_open_no_file() {
    let home = Home::new();
    home.put("notes.crimpbook", "not a workbook: opening it is refused");
    for verb in VERBS
        .iter()
        .copied()
        .filter(|verb| !["part", "keys", "schema"].contains(verb))
    {
        let page = home.well(&[verb, "notes.crimpbook", "--help"]);
        assert!(page.contains("Usage: crimpbook"), "{page}");
    }
    for args in [["--version", "notes.crimpbook"], ["notes.crimpbook", "--version"]] {
        let said = home.well(&args);
        assert_eq!(said, format!("crimpbook {}\n", env!("CARGO_PKG_VERSION")));
    }
    assert_eq!(home.names(), ["notes.crimpbook"]);
}

#[test]
fn the_keys_are_told_place_by_place() {
    let page = Home::new().well(&["keys"]);
    for place in ["Overview", "Face", "Sources", "Build", "Log", "Parts", "form"] {
        assert!(page.lines().any(|line| line == place), "{place} in {page}");
    }
    assert!(
        page.lines()
            .any(|line| line.starts_with("  u ") && line.contains("Take back"))
    );
}

#[test]
fn the_schema_is_json_and_names_the_format() {
    let home = Home::new();
    let schema: serde_json::Value = serde_json::from_str(&home.well(&["schema"])).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert_eq!(schema["properties"]["crimpbook_format"]["const"], 1);
    home.make("van.crimpbook", &book(BLANK));
    let document: serde_json::Value =
        serde_json::from_str(&home.well(&["export", "van.crimpbook", "--json"])).unwrap();
    for field in document.as_object().unwrap().keys() {
        assert!(schema["properties"].get(field).is_some(), "{field}");
    }
}
