//! A large workbook that is no easy one: the demo vehicle many times over, grounds bolted together and supplies tied by
//! a heavy wire, so that one piece holds nearly all nodes; the operating states work all copies at once.

use std::collections::{BTreeMap, BTreeSet};

use crimpbook_workbook::{Book, edit::*, log::EntryKind, model::*};
use serde_json::{Value, json};

/// The demo's records.
const DEMO: &str = include_str!("../../../../demo/marrowby-pipit.json");

/// Fields that hold ids.
const NAMES: &[&str] = &[
    "id",
    "zone",
    "unit",
    "connector",
    "contact",
    "cavity",
    "junction",
    "fuse",
    "part",
    "switch",
    "bundle",
    "to",
    "from",
    "sink",
    "source",
    "reference",
    "couples_to",
    "cavities",
    "bridged",
];
/// Kinds whose records the whole has but once.
const ONCE: &[&str] = &["about", "states", "expressions", "rules"];

/// The demo as it is.
pub fn demo() -> Book {
    fleet(1)
}

/// The demo so many times.
pub fn fleet(copies: usize) -> Book {
    let demo: Value = serde_json::from_str(DEMO).unwrap();
    let records = demo["records"].as_object().unwrap();
    let ids: BTreeSet<&str> = records
        .values()
        .flat_map(|rows| rows.as_array().unwrap())
        .filter_map(|row| row["id"].as_str())
        .collect();
    let mut all: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    let mut states: Vec<Value> = Vec::new();
    for copy in 0..copies {
        let number: BTreeMap<&str, String> = ids
            .iter()
            .zip(1u128..)
            .map(|(id, n)| (*id, Id::<Unit>::from_bits((copy as u128) << 64 | n).to_string()))
            .collect();
        for (kind, rows) in records {
            for row in rows.as_array().unwrap() {
                let mut row = row.clone();
                renumber(&mut row, &number);
                if kind == "states" && copy > 0 {
                    let state = states.iter_mut().find(|s| s["label"] == row["label"]).unwrap();
                    for list in ["switches", "parts"] {
                        let more = row[list].as_array().cloned().unwrap_or_default();
                        if let Some(there) = state[list].as_array_mut() {
                            there.extend(more);
                        } else {
                            state[list] = json!(more);
                        }
                    }
                    continue;
                }
                if kind == "states" {
                    states.push(row);
                    continue;
                }
                if copy > 0 && ONCE.contains(&kind.as_str()) {
                    continue;
                }
                if let (Some(label), true) = (row["label"].as_str(), copy > 0) {
                    row["label"] = json!(format!("{copy}{label}"));
                }
                all.entry(kind.clone()).or_default().push(row);
            }
        }
        if copy > 0 {
            tie(&mut all, copies, copy);
        }
    }
    all.insert("states".to_owned(), states);
    let lists: RecordLists = serde_json::from_value(json!(all)).unwrap();
    let changes = lists.into_records().into_iter().map(|record| Change {
        before: None,
        after: Some(record),
    });
    let mut book = Book::default();
    make(
        &mut book,
        Edit::new(EntryKind::Creation, "made", changes.collect()),
        1,
    );
    book
}

/// Takes an edit through the door.
pub fn make(book: &mut Book, edit: Edit, nth: u128) {
    let stamp = Stamp {
        id: Id::from_bits(nth),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).unwrap(),
        who: "A.".to_owned(),
    };
    let entry = book.prepare(edit, stamp).unwrap();
    book.apply(&entry).unwrap();
}

/// Ground to ground through metal, supply to supply through a heavy wire.
fn tie(all: &mut BTreeMap<String, Vec<Value>>, copies: usize, copy: usize) {
    let find = |label: String| {
        let rows = &all["junctions"];
        rows.iter().find(|j| j["label"] == label.as_str()).unwrap()["id"].clone()
    };
    let before = |label: &str| match copy {
        1 => label.to_owned(),
        _ => format!("{}{label}", copy - 1),
    };
    let (g, h) = (find(before("G1")), find(format!("{copy}G1")));
    let (p, q) = (find(before("AB+")), find(format!("{copy}AB+")));
    let id = |n: u128| Id::<Unit>::from_bits(u128::MAX - (copies * 2) as u128 + n).to_string();
    let path = json!({"id": id(copy as u128), "from": {"junction": g}, "to": {"junction": h}, "resistance_ohm": 0.001});
    all.get_mut("chassis_paths").unwrap().push(path);
    let wire = json!({"id": id((copies + copy) as u128), "label": format!("T{copy}"), "from": {"junction": p},
        "to": {"junction": q}, "area_mm2": 50.0, "length_m": 1.0, "signal": "tie"});
    all.get_mut("wires").unwrap().push(wire);
}

fn renumber(value: &mut Value, number: &BTreeMap<&str, String>) {
    let put = |value: &mut Value| {
        if let Some(new) = value.as_str().and_then(|id| number.get(id)) {
            *value = json!(new);
        }
    };
    match value {
        Value::Object(fields) => {
            for (name, inner) in fields {
                if NAMES.contains(&name.as_str()) {
                    put(inner);
                    if let Value::Array(list) = inner {
                        list.iter_mut().for_each(put);
                    }
                }
                renumber(inner, number);
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|inner| renumber(inner, number)),
        _ => {}
    }
}
