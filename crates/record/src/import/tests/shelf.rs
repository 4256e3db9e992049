//! Drums, counted parts and settings: back as the workbook's own tables have them, and as others write them.

use crimpbook_workbook::{
    analysis::Snapshot,
    check::Report,
    log::EntryKind,
    model::{Drum, Record, Setting, StockLine, Tables},
};

use super::*;
use crate::{csv::sheets, lists};

/// The demo's book, with drums and counts on the shelf.
fn stocked() -> Book {
    let mut book = Book::default();
    for entry in crate::demo::entries().unwrap() {
        book.apply(&entry).unwrap();
    }
    let mut tables: Tables = book.tables().clone();
    let mut ids = IdMaker::new(3);
    let awg_20_mm2 = "AWG 20"
        .parse::<crimpbook_core::quantity::Size>()
        .unwrap()
        .area_mm2();
    for (label, area_mm2, written, colour, stock_m) in [
        ("D91", 0.5, "", Some("RD"), 25.0),
        ("D92", awg_20_mm2, "AWG 20", Some("GN/WH"), 12.5),
        ("D93", 2.5, "", Some("VT"), 3.0),
    ] {
        tables.put(Record::Drum(Drum {
            id: ids.make(),
            label: label.to_owned(),
            area_mm2,
            size_written: written.to_owned(),
            insulation_class_c: (label == "D93").then_some(125.0),
            colour: colour.map(|c| c.parse().unwrap()),
            stock_m,
            note: "=on the shelf".to_owned(),
        }));
    }
    for (label, have, ordered, here) in [
        ("contact S, 0.35 mm²", 40.0, 100.0, 60.0),
        ("heat-shrink 6", 2.0, 0.0, 0.0),
    ] {
        tables.put(Record::StockLine(StockLine {
            id: ids.make(),
            label: label.to_owned(),
            have,
            ordered,
            here,
            note: String::new(),
        }));
    }
    Book::from_tables(tables, None)
}

/// A table of the export as text.
fn written(book: &Book, name: &str) -> String {
    let see = Snapshot::of(book);
    let all = sheets(&see, &[], &Report::default());
    let sheet = all.iter().find(|s| s.name == name).unwrap();
    String::from_utf8(sheet.bytes()).unwrap()
}

fn read(book: &Book, what: What, text: &str) -> Plan {
    let text = Text::from_bytes(text.as_bytes()).unwrap();
    plan(book, &mut IdMaker::new(7), &text, what, &Options::default()).unwrap()
}

/// Records of a kind without their ids, in order of their labels.
fn rows<R: crimpbook_workbook::model::Row + serde::Serialize>(book: &Book) -> Vec<serde_json::Value> {
    let mut all: Vec<serde_json::Value> = book
        .all::<R>()
        .values()
        .map(|row| {
            let mut value = serde_json::to_value(row).unwrap();
            value.as_object_mut().unwrap().remove("id");
            value
        })
        .collect();
    all.sort_by_key(ToString::to_string);
    all
}

/// The book without the records of a kind.
fn without<R: crimpbook_workbook::model::Row>(book: &Book) -> Book {
    let mut tables = book.tables().clone();
    for id in book.all::<R>().keys() {
        tables.remove(crimpbook_workbook::model::Key::of(*id));
    }
    Book::from_tables(tables, None)
}

#[test]
fn what_the_workbook_writes_comes_back_and_changes_nothing_where_it_is_there() {
    let book = stocked();
    for (what, name) in [
        (What::Drums, "drums"),
        (What::Stock, "stock"),
        (What::Settings, "settings"),
    ] {
        let text = written(&book, name);
        let same = read(&book, what, &text);
        assert_eq!((same.edit, same.problems), (None, Vec::new()), "{name}");
        assert!(same.rows > 1);
    }
    let bare = without::<Drum>(&book);
    let back = after(&bare, &read(&bare, What::Drums, &written(&book, "drums")));
    assert_eq!(rows::<Drum>(&back), rows::<Drum>(&book));
    let bare = without::<StockLine>(&book);
    let back = after(&bare, &read(&bare, What::Stock, &written(&book, "stock")));
    assert_eq!(rows::<StockLine>(&back), rows::<StockLine>(&book));
    let bare = without::<Setting>(&book);
    let back = after(&bare, &read(&bare, What::Settings, &written(&book, "settings")));
    assert_eq!(rows::<Setting>(&back), rows::<Setting>(&book));
}

#[test]
fn the_parts_list_comes_back_with_what_was_filled_in() {
    let book = stocked();
    let list = String::from_utf8(lists::parts(&book, 10.0).bytes()).unwrap();
    let same = read(&book, What::Stock, &list);
    assert_eq!((same.edit, same.problems), (None, Vec::new()), "{list}");
    let bare = without::<StockLine>(&book);
    let plan = read(&bare, What::Stock, &list);
    assert_eq!(plan.problems, []);
    let edit = plan.edit.as_ref().unwrap();
    assert_eq!(
        (edit.kind, edit.title.as_str()),
        (EntryKind::Progress, "10 counted parts from a pasted table")
    );
    // The list has no column for notes.
    let counts = |book: &Book| -> Vec<_> {
        let mut all = rows::<StockLine>(book);
        for line in &mut all {
            line["note"] = "".into();
        }
        all.sort_by_key(ToString::to_string);
        all
    };
    assert_eq!(counts(&after(&bare, &plan)), counts(&book));
    // A row that was counted by hand on the printed list.
    let filled = read(
        &book,
        What::Stock,
        "Part;Which;Have\ncontact;S, 0.35 mm²;38\nfuse;10 A blade;12\n",
    );
    assert_eq!(filled.problems, []);
    let book = after(&book, &filled);
    let have = |label: &str| {
        let id = book.index().labelled::<StockLine>(label)?;
        book.get(id).map(|line| line.have)
    };
    assert_eq!(
        (have("contact S, 0.35 mm²"), have("fuse 10 A blade")),
        (Some(38.0), Some(12.0))
    );
}

#[test]
fn tables_of_others_are_recognised_and_bad_rows_named() {
    let book = stocked();
    let plan = read(
        &book,
        What::Drums,
        "Spool;AWG;Colour;Length (ft)\nD99;18;blue;100\nD91;20;red;30\nD100;;black;5\nD99;16;blue;1\n",
    );
    let told: Vec<(u64, bool)> = plan.problems.iter().map(|p| (p.line, p.whole_row)).collect();
    assert_eq!(told, [(4, true), (5, true)], "{:?}", plan.problems);
    let after_drums = after(&book, &plan);
    let drum = |label: &str| {
        let id = after_drums.index().labelled::<Drum>(label).unwrap();
        after_drums.get(id).unwrap().clone()
    };
    assert_eq!(
        (
            drum("D99").size_written.as_str(),
            drum("D91").size_written.as_str()
        ),
        ("AWG 18", "AWG 20")
    );
    assert!((drum("D99").stock_m - 30.48).abs() < 1e-9);

    let plan = read(
        &book,
        What::Settings,
        "Unit;Parameter;Value;Units;Min;Max;Pins\nMC;RAMP_UP;0,6;s;x;5;\nMC;NEW_ONE;3;;;;MC-A10, MC-A11\nXX;RAMP_UP;1;;;;\n;RAMP_DOWN;0.3;;;;MC-Z9\n",
    );
    let told: Vec<(u64, Option<&str>)> = plan.problems.iter().map(|p| (p.line, p.column)).collect();
    assert_eq!(
        told,
        [
            (2, Some("least")),
            (4, Some("unit")),
            (4, None),
            (5, Some("cavities"))
        ],
        "{:?}",
        plan.problems
    );
    assert_eq!(plan.changes().len(), 3);
    let mut edit = plan.edit.clone().unwrap();
    assert_eq!(edit.kind, EntryKind::Import);
    // A setting is never turned without a why.
    assert!(book.prepare(edit.clone(), sample::stamp(50)).is_err());
    edit.why = "as the manual's new revision has it".to_owned();
    assert!(book.prepare(edit, sample::stamp(50)).is_ok());
}
