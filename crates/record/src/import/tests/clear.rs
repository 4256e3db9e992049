//! Empty cells that are to empty what was there.

use crimpbook_workbook::{
    Book,
    model::{Cavity, Wire},
};

use super::{after, cavities, wires};
use crate::{import::Options, sample};

fn clearing(fields: &[&str]) -> Options {
    Options {
        clear: fields.iter().map(|f| (*f).to_owned()).collect(),
        ..Options::default()
    }
}

fn cavity(book: &Book, name: &str) -> Cavity {
    book.get(book.find_cavity(name).unwrap()).unwrap().clone()
}

fn wire(book: &Book, label: &str) -> Wire {
    book.get(book.index().labelled::<Wire>(label).unwrap())
        .unwrap()
        .clone()
}

/// A table of the sample's first cavity with every field that it can clear.
const CAVITY: &str =
    "Cavity\tName\tKind\tPage\tContact\tWhy\tNote\tCurrent\tDecision\n1\t\t-\t\t\tn/a\t\t\t\n";

#[test]
fn only_the_fields_that_are_named_are_emptied() {
    let book = sample::book();
    let was = cavity(&book, "MC-A1");
    assert!(!was.name.is_empty() && !was.page.is_empty() && was.limits.most_a.is_some());
    let nothing = cavities(&book, "MC-A", CAVITY, &Options::default()).unwrap();
    assert_eq!(nothing.edit, None, "an empty cell changes nothing");
    let plan = cavities(&book, "MC-A", CAVITY, &clearing(&["page", "current"])).unwrap();
    assert_eq!(plan.problems, []);
    assert!(plan.columns_block().lines[3].ends_with("page, empty cells clear it"));
    let is = cavity(&after(&book, &plan), "MC-A1");
    let mut expected = was.clone();
    expected.page.clear();
    expected.limits.most_a = None;
    assert_eq!(is, expected);
    let all = ["function", "kind", "page", "contact", "why", "note", "current"];
    let plan = cavities(&book, "MC-A", CAVITY, &clearing(&all)).unwrap();
    let is = cavity(&after(&book, &plan), "MC-A1");
    assert_eq!(
        (is.name.as_str(), is.why.as_str(), is.note.as_str()),
        ("", "", "")
    );
    assert_eq!((is.kind, is.contact), (None, None));
    assert_eq!(is.decision, was.decision);
}

#[test]
fn a_filled_cell_of_the_same_column_is_taken_and_a_bad_one_empties_nothing() {
    let book = sample::book();
    let text = "Cavity\tPage\tCurrent\n1\t\tlots\n2\t77\t\n";
    let plan = cavities(&book, "MC-A", text, &clearing(&["page", "current"])).unwrap();
    assert_eq!(plan.problems.len(), 1, "{:?}", plan.problems);
    let after = after(&book, &plan);
    assert_eq!(cavity(&after, "MC-A1").page, "");
    assert_eq!(
        cavity(&after, "MC-A1").limits.most_a,
        cavity(&book, "MC-A1").limits.most_a
    );
    assert_eq!(cavity(&after, "MC-A2").page, "77");
}

#[test]
fn wires_are_emptied_too_by_their_own_table_and_by_their_cavity() {
    let book = sample::book();
    let was = wire(&book, "W44");
    assert!(was.area_mm2.is_some() && was.colour.is_some() && was.length_m.is_some());
    let plan = wires(
        &book,
        "Wire\tSize\tColour\tLength\tSignal\nW44\t\t\t\t\n",
        &clearing(&["size", "colour", "length", "signal"]),
    );
    let is = wire(&after(&book, &plan), "W44");
    assert_eq!(
        (is.area_mm2, is.size_written.as_str(), is.size_table),
        (None, "", None)
    );
    assert_eq!((is.colour, is.length_m, is.signal.as_str()), (None, None, ""));
    assert_eq!((is.from, is.to), (was.from, was.to));
    // By its cavity; a cavity without a wire has nothing to empty and is no problem.
    let plan = cavities(
        &book,
        "MC-A",
        "Cavity\tColour\n3\t\n5\t\n",
        &clearing(&["colour"]),
    )
    .unwrap();
    assert_eq!(plan.problems, []);
    assert_eq!(plan.changes().len(), 1);
    assert_eq!(wire(&after(&book, &plan), "W44").colour, None);
}

#[test]
fn what_cannot_be_emptied_is_refused_with_a_sentence() {
    let book = sample::book();
    let refused = |field: &str| {
        cavities(&book, "MC-A", CAVITY, &clearing(&[field]))
            .unwrap_err()
            .to_string()
    };
    assert!(refused("decision").contains("write what it is to be"));
    assert!(refused("number").contains("cannot clear"));
    assert!(refused("release").contains("no column is the release"));
    assert!(refused("colur").contains("no field is called colur"));
}
