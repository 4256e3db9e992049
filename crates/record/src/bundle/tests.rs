//! Round trips of the folder.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    model::{RecordLists, Tables},
};
use proptest::prelude::*;

use super::{read, write};
use crate::{json::any_records, sample, text::acts_unseen};

fn files(book: &Book) -> BTreeMap<String, Vec<u8>> {
    write(book, &[]).into_iter().collect()
}

fn tables(records: RecordLists) -> Tables {
    let mut tables = Tables::default();
    records.into_records().into_iter().for_each(|r| tables.put(r));
    tables
}

#[test]
fn a_workbook_comes_back_equal_in_rows_log_and_head() {
    let entries = crate::demo::entries().unwrap();
    let book = sample::replay(&entries);
    let files: BTreeMap<_, _> = write(&book, &entries).into_iter().collect();
    let read = read(&files).unwrap();
    assert!(read.head.is_some());
    let back = read.into_entries(sample::stamp(1)).unwrap();
    assert!(back == entries);
    assert!(sample::replay(&back) == book);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn any_rows_come_back_equal_and_no_cell_acts(records in any_records()) {
        let records: RecordLists = serde_json::from_value(records).unwrap();
        let book = Book::from_tables(tables(records), None);
        let files = files(&book);
        for (name, bytes) in &files {
            for record in csv::Reader::from_reader(&bytes[..]).records() {
                for cell in &record.unwrap() {
                    prop_assert!(!cell.chars().any(acts_unseen), "{name}: {cell:?}");
                    let number = cell.parse::<f64>().is_ok();
                    prop_assert!(number || !crate::csv::begins_formula(cell), "{name}: {cell:?}");
                }
            }
        }
        let back = tables(read(&files).unwrap().records);
        prop_assert!(book.tables() == &back);
    }
}

#[test]
fn the_dictionary_names_every_column_of_every_file() {
    let (book, entries) = sample::logged();
    let files: BTreeMap<_, _> = write(&book, &entries).into_iter().collect();
    let mut reader = csv::Reader::from_reader(&files["dictionary.csv"][..]);
    let named: Vec<(String, String, String)> = reader
        .records()
        .map(|r| r.unwrap())
        .map(|r| (r[0].to_owned(), r[1].to_owned(), r[3].to_owned()))
        .collect();
    for (file, bytes) in files.iter().filter(|(file, _)| *file != "dictionary.csv") {
        for head in csv::Reader::from_reader(&bytes[..]).headers().unwrap() {
            let row = named.iter().find(|(f, c, _)| f == file && c == head);
            assert!(
                row.is_some_and(|(_, _, meaning)| !meaning.is_empty()),
                "{file}: {head}"
            );
        }
    }
}

#[test]
fn what_does_not_fit_is_told_with_file_and_line() {
    let says = |file: &str, was: &str, is: &str, words: &str| {
        let mut files = files(&sample::book());
        let text = String::from_utf8(files[file].clone()).unwrap();
        assert!(text.contains(was), "{text}");
        files.insert(file.to_owned(), text.replacen(was, is, 1).into_bytes());
        let error = read(&files).unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
    };
    says("workbook.csv", "1,", "7,", "newer program");
    says(
        "wires.csv",
        "signal",
        "signals",
        "wires.csv: no field is called \"signals\"",
    );
    says(
        "wires.csv",
        "0.35",
        "thin",
        "area_mm2: is a number that cannot be read",
    );
    says("cavities.csv", "logic_supply", "magic", "cavities.csv, line ");
    assert!(
        read(&BTreeMap::new())
            .unwrap_err()
            .to_string()
            .contains("workbook.csv is missing")
    );
}
