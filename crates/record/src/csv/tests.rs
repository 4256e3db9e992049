//! Tables as a reader finds them.

use std::collections::{BTreeMap, HashSet};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{CannotCheck, Figure, Finding, Level, Report},
    model::{Cavity, Fuse, Key, Wire},
};

use super::{sheets, tables};
use crate::sample;

fn report(book: &Book) -> Report {
    let wire = book.index().labelled::<Wire>("W44").unwrap();
    Report {
        findings: vec![
            Finding::new(
                "fuse-above-wire",
                Level::Stop,
                wire,
                "W44 is thinner than F6 protects",
            )
            .figure(Figure::against("fuse", 10.0, 5.0, "A")),
        ],
        cannot_check: vec![CannotCheck {
            checks: vec!["sleep-current"],
            place: Key::of(wire),
            missing: "current asleep".to_owned(),
            asks: Vec::new(),
        }],
        unproven: 0,
        ..Report::default()
    }
}

fn files() -> BTreeMap<String, Vec<u8>> {
    let (book, entries) = sample::logged();
    let heads: Vec<_> = (1..).zip(&entries).map(|(seq, e)| e.head(seq)).collect();
    let report = report(&book);
    tables(&Snapshot::of(&book), &heads, &report)
        .into_iter()
        .collect()
}

fn rows(files: &BTreeMap<String, Vec<u8>>, name: &str) -> Vec<BTreeMap<String, String>> {
    csv::Reader::from_reader(&files[name][..])
        .deserialize()
        .map(|row| row.unwrap())
        .collect()
}

#[test]
fn every_row_of_the_book_is_there_with_labels() {
    let files = files();
    let book = sample::book();
    let wires = rows(&files, "wires.csv");
    assert_eq!(wires.len(), book.all::<Wire>().len());
    let w44 = wires.iter().find(|w| w["wire"] == "W44").unwrap();
    assert_eq!(
        (
            w44["from"].as_str(),
            w44["to"].as_str(),
            w44["colour"].as_str(),
            w44["fuse_meant"].as_str()
        ),
        ("SP7", "MC-A3", "GN/BU", "F6")
    );
    let cavities = rows(&files, "cavities.csv");
    assert_eq!(cavities.len(), book.all::<Cavity>().len());
    let economy = cavities.iter().find(|c| c["function"] == "ECONOMY").unwrap();
    assert_eq!(economy["decision"], "bridged to MC-A2");
    let brake = cavities.iter().find(|c| c["function"] == "BRAKE NO").unwrap();
    assert_eq!(
        brake["limits"],
        "on above 5.5 V; off below 2 V; pull to ground, 10 kΩ"
    );
    let fuses = rows(&files, "fuses.csv");
    assert_eq!(fuses.len(), book.all::<Fuse>().len());
    assert_eq!(fuses[1]["wires_meant"], "W39, W42, W44");
    let steps = rows(&files, "build_steps.csv");
    assert_eq!(
        (steps[0]["of"].as_str(), steps[0]["outcome"].as_str()),
        ("W04", "done")
    );
    assert!(
        steps
            .iter()
            .any(|s| s["of"] == "W44 at MC-A3" && s["outcome"] == "to be redone")
    );
    let log = rows(&files, "log.csv");
    assert_eq!(log.len(), 6);
    assert_eq!(
        (log[4]["why"].as_str(), log[3]["revision"].as_str()),
        ("F6 is too big for 0.35", "A")
    );
    let findings = rows(&files, "findings.csv");
    assert_eq!(findings[0]["figures"], "fuse 10 A, limit 5 A");
    assert_eq!(rows(&files, "cannot_check.csv")[0]["missing"], "current asleep");
}

#[test]
fn files_are_rfc_4180() {
    for (name, bytes) in files() {
        let text = String::from_utf8(bytes).unwrap();
        assert!(text.ends_with("\r\n"), "{name}");
        let width = text.lines().next().unwrap().split(',').count();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(text.as_bytes());
        for record in reader.records() {
            assert_eq!(record.unwrap().len(), width, "{name}");
        }
    }
}

#[test]
fn no_id_of_the_book_stands_in_a_cell() {
    let book = sample::book();
    let mut ids = HashSet::new();
    book.tables().each(&mut |record| {
        ids.insert(record.key().id.to_string());
    });
    // Short ids that are also words or figures of the sample.
    for word in ["a", "f6"] {
        ids.remove(word);
    }
    for sheet in sheets(&Snapshot::of(&book), &[], &Report::default()) {
        for cell in sheet.rows.iter().flatten() {
            assert!(!ids.contains(&cell.written()), "{}: {cell:?}", sheet.name);
        }
    }
}

#[test]
fn the_dictionary_names_every_column_once() {
    let files = files();
    let dictionary = rows(&files, "dictionary.csv");
    let named: HashSet<(String, String)> = dictionary
        .iter()
        .map(|r| (r["file"].clone(), r["column"].clone()))
        .collect();
    assert_eq!(named.len(), dictionary.len());
    for (name, bytes) in files.iter().filter(|(name, _)| *name != "dictionary.csv") {
        for head in csv::Reader::from_reader(&bytes[..]).headers().unwrap() {
            assert!(named.contains(&(name.clone(), head.to_owned())), "{name}: {head}");
        }
    }
}

#[test]
fn computed_tables_are_there_for_every_state() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let see = Snapshot::of(&book);
    let files: BTreeMap<_, _> = tables(&see, &[], &Report::default()).into_iter().collect();
    let live = rows(&files, "fuse_states.csv");
    assert_eq!(live.len(), book.all::<Fuse>().len() * see.states().len());
    let said = |fuse: &str, state: &str| {
        let row = live.iter().find(|r| r["fuse"] == fuse && r["state"] == state);
        row.map(|r| r["live"].clone())
    };
    assert_eq!(
        (said("F1", "OFF"), said("F2", "OFF")),
        (Some("yes".into()), Some("no".into()))
    );
    assert_eq!(said("F2", "DRIVE"), Some("yes".into()));
    let volts = rows(&files, "volts.csv");
    let brake = volts
        .iter()
        .find(|r| r["cavity"] == "MC-A16" && r["state"] == "BRAKE")
        .unwrap();
    let read: f64 = brake["expected_v"].parse().unwrap();
    assert!((11.0..13.0).contains(&read), "{brake:?}");
}
