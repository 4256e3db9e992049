//! What is taken from the demo's knowledge silences no check: what a check found and now cannot see, it asks for.

use std::{collections::BTreeSet, path::Path};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{CannotCheck, Finding, Report, run_without_mends},
    model::{RecordLists, Tables},
};
use serde_json::Value;

fn demo() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo/marrowby-pipit.json");
    let text = std::fs::read_to_string(path).expect("the demo is there");
    let mut value: Value = serde_json::from_str(&text).expect("it is JSON");
    value["records"].take()
}

/// The report over records as JSON; none: they do not fit without what was taken.
fn report(records: Value) -> Option<(Book, Report)> {
    let records: RecordLists = serde_json::from_value(records).ok()?;
    let mut tables = Tables::default();
    records
        .into_records()
        .into_iter()
        .for_each(|record| tables.put(record));
    let book = Book::from_tables(tables, None);
    let report = run_without_mends(&Snapshot::of(&book));
    Some((book, report))
}

/// Paths of the leaves below a value.
fn leaves(value: &Value, path: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, below) in fields {
                leaves(below, &format!("{path}/{name}"), into);
            }
            into.insert(path.to_owned());
        }
        Value::Array(_) | Value::Null => {}
        _ => {
            into.insert(path.to_owned());
        }
    }
}

/// What may be left out because it says something by being absent.
const SAYS_BY_ABSENCE: &[(&str, &str)] = &[
    (
        "parts/kind/source/limit_a",
        "a source without a limit gives what its resistance lets through",
    ),
    (
        "states/supply_v",
        "a state without volts of its own has the vehicle's nominal ones",
    ),
    (
        "wires/drop_limit_v",
        "a wire without a limit of its own has the usual one",
    ),
    ("wires/inline_fuse", "a wire without one has no fuse in line"),
];

/// So many records forget a field at once.
const AT_ONCE: usize = 6;

/// Checks and what they say, by place.
type Said = BTreeSet<(String, String)>;

fn found(book: &Book, report: &Report) -> Said {
    let place = |f: &Finding| f.place().map(|p| book.name_of(p)).unwrap_or_default();
    let found = report.findings.iter().map(|f| (f.check.to_owned(), place(f)));
    found.collect()
}

fn asked(book: &Book, report: &Report) -> Said {
    let of = |c: &CannotCheck| {
        let what = format!("{}: {}", book.name_of(c.place), c.missing);
        let checks = c.checks.iter();
        checks
            .map(|check| ((*check).to_owned(), what.clone()))
            .collect::<Vec<_>>()
    };
    report.cannot_check.iter().flat_map(of).collect()
}

/// Each field of the demo that may be left out is taken from each record that tells it: a finding that goes with it
/// leaves a question of the same check behind.
#[test]
fn a_finding_that_goes_with_what_was_known_leaves_a_question() {
    let demo = demo();
    let (book, before) = report(demo.clone()).expect("the demo fits");
    let (was, asked_before) = (found(&book, &before), asked(&book, &before));
    let (mut forgotten, mut gone, mut silent) = (0, 0, Vec::new());
    for (kind, list) in demo.as_object().expect("lists by kind") {
        let list = list.as_array().expect("a list");
        let mut paths = BTreeSet::new();
        list.iter().for_each(|record| leaves(record, "", &mut paths));
        for path in paths.iter().filter(|path| !path.is_empty()) {
            let field = format!("{kind}{path}");
            if SAYS_BY_ABSENCE.iter().any(|(exempt, _)| *exempt == field) {
                continue;
            }
            let told = |at: &usize| list[*at].pointer(path).is_some_and(|value| !value.is_null());
            let tellers: Vec<usize> = (0..list.len()).filter(told).collect();
            for some in tellers.chunks(AT_ONCE) {
                let mut records = demo.clone();
                for at in some {
                    *records[kind][*at].pointer_mut(path).expect("it was told") = Value::Null;
                }
                let Some((_, after)) = report(records) else { break };
                forgotten += 1;
                let (now, asks) = (found(&book, &after), asked(&book, &after));
                for (check, place) in was.difference(&now) {
                    gone += 1;
                    if !asks.difference(&asked_before).any(|(asking, _)| asking == check) {
                        silent.push(format!("{check} at {place} without {field}"));
                    }
                }
            }
        }
    }
    assert_eq!(silent, [""; 0]);
    // Otherwise nothing was put to the test.
    assert!(forgotten > 150 && gone > 15, "{forgotten} forgotten, {gone} gone");
}
