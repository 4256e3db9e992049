//! JSON out and in again; JSON that is wrong.

use crate::harness::{Home, OPEN, book};

#[test]
fn a_workbook_made_from_an_export_is_equal() {
    let home = Home::new();
    home.well(&["demo", "one.crimpbook"]);
    assert_eq!(
        home.well(&["export", "one.crimpbook", "--json", "-o", "one.json"]),
        "Wrote one.json\n"
    );
    home.well(&["new", "two.crimpbook", "--from", "one.json"]);
    let again = home.well(&["export", "two.crimpbook", "--json"]);
    assert_eq!(again.as_bytes(), home.bytes("one.json"));
    for verb in [
        vec!["log", "--all", "--verify"],
        vec!["check", "--json", "--notes"],
    ] {
        let of = |file| {
            let ran = home.run(&[verb.clone(), vec![file]].concat());
            (ran.code, ran.out, ran.err)
        };
        assert_eq!(of("one.crimpbook"), of("two.crimpbook"));
    }
}

/// Documents that are wrong, and the answer.
#[test]
fn a_wrong_document_is_answered_with_its_place_and_nothing_is_made() {
    let home = Home::new();
    let good = book(OPEN);
    let cases: &[(&str, String, &str)] = &[
        ("nothing", String::new(), "line 1, column 0: the file ends in the middle; is it whole?"),
        (
            "cut",
            good.replace("}]}}", ""),
            "the file ends in the middle; is it whole?",
        ),
        (
            "other",
            r#"{"wires": []}"#.to_owned(),
            "this JSON is not a workbook: it has no \"crimpbook_format\" field at its top",
        ),
        (
            "newer",
            good.replace("\"crimpbook_format\": 1", "\"crimpbook_format\": 9"),
            "the workbook is in format 9, and this program reads formats up to 1: use a newer one",
        ),
        (
            "type",
            good.replace("\"label\": \"MC-A\"", "\"label\": 7"),
            "line 3, column 55, at records.connectors[0].label: found the number 7, expected a text",
        ),
        (
            "field",
            good.replace("\"label\": \"MC-A\"", "\"lable\": \"MC-A\""),
            "at records.connectors[0].lable: there is no field `lable` here; expected",
        ),
        (
            "missing",
            good.replace("\"number\": \"1\", ", ""),
            "at records.cavities[0]: the field `number` is missing",
        ),
        (
            "choice",
            good.replace("\"undecided\"", "\"maybe\""),
            "at records.cavities[0].decision: found `maybe`, expected one of",
        ),
        (
            "reference",
            good.replace("\"connector\": \"mca\"", "\"connector\": \"mcb\""),
            "connector",
        ),
        (
            "twice",
            good.replace("\"cavities\": [", "\"cavities\": [{\"id\": \"mca2\", \"connector\": \"mca\", \"number\": \"1\", \"decision\": \"blank\"}, "),
            "1",
        ),
    ];
    for (name, document, words) in cases {
        let file = format!("{name}.json");
        home.put(&file, document);
        let ran = home.run(&["new", "van.crimpbook", "--from", &file]);
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{name}: {}", ran.err);
        assert!(
            ran.err.starts_with(&format!("crimpbook: {file}: ")),
            "{}",
            ran.err
        );
        assert!(ran.err.contains(words), "{name}: {}", ran.err);
        assert!(ran.err.ends_with("nothing was made\n"), "{}", ran.err);
        assert!(!home.path("van.crimpbook").exists(), "{name}");
    }
    assert_eq!(home.names().len(), cases.len(), "nothing else is left behind");
}

#[test]
fn a_document_that_cannot_be_read_is_told() {
    let home = Home::new();
    home.put("bytes.json", b"\xff\xfe{}");
    for (from, words) in [
        ("gone.json", "there is no file gone.json\n"),
        ("bytes.json", "bytes.json is not UTF-8 text, as JSON must be"),
    ] {
        let ran = home.run(&["new", "van.crimpbook", "--from", from]);
        assert_eq!(ran.code, 4, "{}", ran.err);
        assert!(ran.err.contains(words), "{}", ran.err);
    }
    assert_eq!(home.names(), ["bytes.json"]);
}
