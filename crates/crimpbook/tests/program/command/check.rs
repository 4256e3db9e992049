//! `crimpbook check`: its exit codes and what it prints.

use serde_json::Value;

use crate::harness::{BLANK, Home, OPEN, WIRED, book};

/// Books that are as small as can be, and the exit code of each.
#[test]
fn the_exit_code_says_how_grave_it_is() {
    let home = Home::new();
    let output = OPEN.replace(
        "\"number\": \"1\"",
        "\"number\": \"1\", \"kind\": \"low_side_out\"",
    );
    // Of its wires, contacts and zones next to nothing is known.
    let unknown = WIRED.replace("\"undecided\"", "\"blank\"");
    let cases: [(&str, &str, i32, &str); 4] = [
        ("blank", BLANK, 0, "0 stops, 0 warnings open; 0 facts missing"),
        // An output may wait: a warning stops nobody.
        ("output", &output, 0, "0 stops, 1 warning open; 0 facts missing"),
        ("open", OPEN, 1, "1 stop, 0 warnings open; 0 facts missing"),
        ("unknown", &unknown, 3, "0 stops, 0 warnings open"),
    ];
    for (name, lists, code, summary) in cases {
        let file = format!("{name}.crimpbook");
        home.make(&file, &book(lists));
        let before = home.bytes(&file);
        let ran = home.run(&["check", &file]);
        assert_eq!((ran.code, ran.err.as_str()), (code, ""), "{name}: {}", ran.out);
        assert!(
            ran.out.lines().any(|line| line.starts_with(summary)),
            "{name}: {}",
            ran.out
        );
        assert_eq!(
            ran.out.contains("cannot check: missing "),
            code == 3,
            "{}",
            ran.out
        );
        assert!(ran.out.trim_end().ends_with("licensed practice win."));
        let as_json = home.run(&["check", &file, "--json"]);
        assert_eq!(as_json.code, code, "the same in either form");
        let report: Value = serde_json::from_str(&as_json.out).unwrap();
        assert_eq!(report["open_stops"].as_u64(), Some(u64::from(code == 1)));
        assert_eq!(home.bytes(&file), before);
    }
    assert_eq!(
        home.names().len(),
        cases.len(),
        "checking leaves nothing beside the files"
    );
}

#[test]
fn a_finding_has_its_place_its_figures_and_its_mend() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    let ran = home.run(&["check", "pipit.crimpbook"]);
    assert_eq!(ran.code, 1);
    let widest = ran.out.lines().map(|line| line.chars().count()).max();
    assert!(widest.unwrap() <= 110, "{}", ran.out);
    for words in ["STOP     F6", "mend     ", "rests on ", "cannot check: missing "] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    let report = home.run(&["check", "pipit.crimpbook", "--json"]).out;
    let report: Value = serde_json::from_str(&report).unwrap();
    let mut findings = report["findings"].as_array().unwrap().iter();
    let first = findings.find(|f| f["check"] == "fuse-above-wire").unwrap();
    assert_eq!(first["places"][0], "fuse F6");
    assert!(first["mend"].as_str().unwrap().contains("W44"));
}

#[test]
fn a_check_is_explained_without_a_workbook() {
    let page = Home::new().well(&["check", "--explain", "fuse-above-wire"]);
    assert!(page.starts_with("fuse-above-wire\n  says    "), "{page}");
    assert!(page.contains("\n  source  "), "{page}");
}

#[test]
fn every_check_is_listed_and_each_is_explained() {
    let home = Home::new();
    let list = home.well(&["check", "--explain"]);
    let names: Vec<&str> = list
        .lines()
        .filter(|line| !line.starts_with(' ') && !line.starts_with("One of them"))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(names.len() > 20 && names.contains(&"fuse-above-wire"), "{list}");
    for name in names {
        assert!(home.well(&["check", "--explain", name]).starts_with(name));
    }
    let unknown = home.run(&["check", "--explain", "nonsense"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("there is no check called nonsense"));
}

#[test]
fn an_accepted_finding_is_told_with_its_why() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    assert!(
        home.run(&["check", "pipit.crimpbook"])
            .out
            .contains("(accepted: ")
    );
    let report = home.run(&["check", "pipit.crimpbook", "--json"]).out;
    let report: Value = serde_json::from_str(&report).unwrap();
    let findings = report["findings"].as_array().unwrap();
    let accepted = findings.iter().find(|f| !f["accepted"].is_null()).unwrap();
    assert_eq!(accepted["accepted"]["lapsed"], Value::Null);
    assert!(accepted["accepted"]["why"].as_str().unwrap().contains("spare"));
}

#[test]
fn questions_are_told_by_manual_and_leave_no_trace() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    let before = home.bytes("pipit.crimpbook");
    let ran = home.run(&["questions", "pipit.crimpbook"]);
    assert_eq!((ran.code, ran.err.as_str()), (3, ""));
    for words in [
        "inrush current of brake lamps, as in ",
        "length of the inrush of brake lamps",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    let as_json = home.run(&["questions", "pipit.crimpbook", "--json"]);
    assert_eq!(as_json.code, 3);
    let asked: Value = serde_json::from_str(&as_json.out).unwrap();
    let asked = asked["questions"].as_array().unwrap();
    let inrush = asked.iter().find(|q| q["field"] == "kind.load.inrush_a").unwrap();
    assert_eq!(
        (&inrush["told_by"], &inrush["expects"]),
        (&"manual".into(), &"A".into())
    );
    assert_eq!(inrush["records"][0]["kind"], "part");
    assert!(
        inrush["checks"]
            .as_array()
            .unwrap()
            .contains(&"fuse-inrush".into())
    );
    assert_eq!(home.bytes("pipit.crimpbook"), before);
    home.make("blank.crimpbook", &book(BLANK));
    let nothing = home.run(&["questions", "blank.crimpbook"]);
    assert_eq!(
        (nothing.code, nothing.out.trim_end()),
        (0, "Nothing is missing: every check has what it needs.")
    );
    home.make("empty.crimpbook", &book(""));
    let nothing = home.run(&["questions", "empty.crimpbook"]);
    assert_eq!(nothing.code, 0);
    assert!(nothing.out.contains("nothing is entered yet"), "{}", nothing.out);
}
