//! Round trips.

use crimpbook_workbook::{
    Book,
    log::{Entry, Hash, link, verify},
    model::{RecordLists, Tables},
};
use proptest::prelude::*;

use super::any::any_records;
use crate::{
    json::{read, write},
    sample,
};

fn tables(records: RecordLists) -> Tables {
    let mut tables = Tables::default();
    records.into_records().into_iter().for_each(|r| tables.put(r));
    tables
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_rows_come_back_equal_and_written_the_same(records in any_records()) {
        let records: RecordLists = serde_json::from_value(records).unwrap();
        let book = Book::from_tables(tables(records), None);
        let text = write(&book, &[]);
        let back = tables(read(&text).unwrap().records);
        prop_assert!(book.tables() == &back);
        prop_assert_eq!(write(&Book::from_tables(back, None), &[]), text);
    }

    #[test]
    fn any_entry_keeps_the_text_that_is_hashed(records in any_records()) {
        let records: RecordLists = serde_json::from_value(records).unwrap();
        let mut entry = sample::logged().1.pop().unwrap();
        entry.changes = records.into_records().into_iter().map(|record| crimpbook_workbook::edit::Change {
            before: None,
            after: Some(record),
        }).collect();
        let text = write(&Book::default(), std::slice::from_ref(&entry));
        let back = read(&text).unwrap().log;
        prop_assert_eq!(&back, std::slice::from_ref(&entry));
        prop_assert_eq!(back[0].canonical(), entry.canonical());
    }
}

#[test]
fn a_book_with_its_log_comes_back_equal_in_rows_and_head() {
    let (book, entries) = sample::logged();
    let text = write(&book, &entries);
    let back = read(&text).unwrap().into_entries(sample::stamp(99)).unwrap();
    assert_eq!(back, entries);
    assert_eq!(sample::replay(&back), book);
    assert_eq!(book.revision(), Some("A"));
    let head = |entries: &[Entry]| {
        entries
            .iter()
            .fold(Hash::default(), |head, e| link(head, &e.canonical()))
    };
    assert_eq!(head(&back), head(&entries));
    assert!(text.contains(&format!("\"head\": \"{}\"", head(&entries))));
}

/// The page promises that the file alone is enough to verify the log.
#[test]
fn each_line_of_the_log_is_the_text_that_is_hashed() {
    let (book, entries) = sample::logged();
    let text = write(&book, &entries);
    let lines: Vec<&str> = text
        .lines()
        .skip_while(|line| *line != "  \"log\": [")
        .skip(1)
        .take_while(|line| *line != "  ]")
        .map(|line| line.trim().trim_end_matches(','))
        .collect();
    assert_eq!(lines.len(), entries.len());
    let mut hashes = Vec::new();
    for line in &lines {
        hashes.push(link(hashes.last().copied().unwrap_or_default(), line));
    }
    let head = verify(lines.iter().copied().zip(hashes)).unwrap();
    assert!(text.contains(&head.to_string()));
}

#[test]
fn a_book_without_a_log_begins_with_one_entry() {
    let entries = read(sample::BOOK)
        .unwrap()
        .into_entries(sample::stamp(7))
        .unwrap();
    assert_eq!(entries.len(), 1);
    assert_eq!(entries[0].who, "A. Nether");
    assert_eq!(entries[0].changes.len(), sample::book().tables().len());
}

#[test]
fn the_layout_is_one_field_a_line() {
    let text = write(&sample::book(), &[]);
    let wire: Vec<&str> = text
        .lines()
        .skip_while(|line| *line != "    \"wires\": [")
        .take(14)
        .collect();
    insta::assert_snapshot!(wire.join("\n"), @r#"
    "wires": [
      {
        "id": "w4",
        "label": "W04",
        "signal": "MC keep-alive",
        "from": {"cavity": "pba1"},
        "to": {"cavity": "mca1"},
        "area_mm2": 0.5,
        "colour": "RD/WH",
        "length_m": 2.6,
        "bundle": "b1",
        "fuse": "f1",
        "typical_a": 0.15,
        "peak_a": 0.4
    "#);
}
