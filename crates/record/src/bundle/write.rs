//! Writing the folder.

use crimpbook_workbook::{
    Book,
    log::{Entry, Hash, link},
    model::Kind,
};
use csv::{Terminator, WriterBuilder};
use serde_json::Value;

use super::{FORMAT, MARKER, cell, columns};
use crate::json::schema;

/// The book and its log as files: name and bytes. Kinds without a record have no file. Give no entries to leave the log out.
pub fn write(book: &Book, entries: &[Entry]) -> Vec<(String, Vec<u8>)> {
    let schema = schema();
    let mut dictionary: Vec<[String; 4]> = Vec::new();
    let mut files = Vec::new();
    for kind in Kind::ALL {
        let columns = columns::of(&schema, *kind);
        let file = format!("{}.csv", kind.name());
        let mut rows: Vec<Vec<String>> = Vec::new();
        book.tables().each_ref(*kind, &mut |row| {
            let fields = crate::compare::fields(book.tables().get(row.key()).as_ref());
            let cell = |column: &columns::Column| match fields.get(&column.head) {
                Some(Value::String(text)) if text.is_empty() && column.empty => String::new(),
                value => value.map(cell::write).unwrap_or_default(),
            };
            rows.push(columns.iter().map(cell).collect());
        });
        if rows.is_empty() {
            continue;
        }
        for column in &columns {
            let needed = if column.needed { "yes" } else { "" };
            dictionary.push([
                file.clone(),
                column.head.clone(),
                needed.to_owned(),
                column.meaning.clone(),
            ]);
        }
        let heads = columns.iter().map(|c| c.head.clone()).collect();
        files.push((file, table(std::iter::once(heads).chain(rows))));
    }
    let mut head = String::new();
    if !entries.is_empty() {
        let log: Vec<String> = entries.iter().map(Entry::canonical).collect();
        head = log
            .iter()
            .fold(Hash::default(), |head, body| link(head, body))
            .to_string();
        let rows = (1..)
            .zip(&log)
            .map(|(seq, body)| vec![u64::to_string(&seq), cell::escaped(body)]);
        let heads = vec!["seq".to_owned(), "entry".to_owned()];
        files.push(("log.csv".to_owned(), table(std::iter::once(heads).chain(rows))));
        for (column, meaning) in [
            ("seq", "Place in the log, from 1"),
            ("entry", "The entry as JSON, see the interchange format"),
        ] {
            dictionary.push(["log.csv", column, "yes", meaning].map(str::to_owned));
        }
    }
    let marker = [["format", "head"].map(str::to_owned), [FORMAT.to_string(), head]];
    files.push((MARKER.to_owned(), table(marker.map(Vec::from).into_iter())));
    for (column, meaning) in [
        ("format", "Number of the format"),
        ("head", "Hash of the last entry of the log"),
    ] {
        dictionary.push([MARKER, column, "", meaning].map(str::to_owned));
    }
    let heads = ["file", "column", "needed", "meaning"].map(str::to_owned);
    let rows = std::iter::once(heads).chain(dictionary).map(Vec::from);
    files.push(("dictionary.csv".to_owned(), table(rows)));
    files
}

fn table(rows: impl Iterator<Item = Vec<String>>) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    for row in rows {
        // Writing to memory cannot fail, and rows are as long as their heads.
        let _ = writer.write_record(row);
    }
    writer.into_inner().unwrap_or_default()
}
