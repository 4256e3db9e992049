//! The small book with hostile text in every field that a person types.

use crimpbook_workbook::{Book, model::Tables};
use serde_json::Value;

use super::BOOK;
use crate::json::read;

/// What every field is spoiled with; its number and a semicolon follow.
const HOSTILE: &str = "</td></style><script>alert(1)</script><img src=x onerror=alert(1)> \u{202e}\u{2066}rtl \u{0}\u{1b}[31m\u{7} \
                       \"quotes' &amp; &#x41; ]]> --> javascript:x \u{fffe}";

/// Fields that people type freely; labels are made unique by their place.
const TYPED: &[&str] = &[
    "label",
    "name",
    "number",
    "unit_number",
    "why",
    "note",
    "page",
    "signal",
    "words",
    "place",
    "feeds",
    "holder",
    "serial",
    "firmware",
    "supply_note",
    "title",
    "revision",
    "purpose",
    "vehicle",
    "service_note",
    "disconnect",
    "towing",
    "flat",
    "lamps",
    "spares",
    "quirks",
    "papers",
    "colour_custom",
    "insulation",
    "changed",
    "felt",
    "next",
    "who",
    "meter",
    "redo",
    "lapsed",
    "value",
    "measure",
    "face",
    "pair",
    "size_written",
    "text",
    "check",
    "group",
];

/// The book, and the names of the fields that were spoiled in their order. It is made past the door, which refuses some of
/// this: what leaves must be harmless whatever file it is made from.
pub fn spoiled() -> (Book, Vec<String>) {
    let mut book: Value = serde_json::from_str(BOOK).unwrap();
    let mut spoiled = Vec::new();
    spoil(&mut book, &mut spoiled);
    let mut tables = Tables::default();
    let rows = read(&book.to_string()).unwrap().records.into_records();
    rows.into_iter().for_each(|row| tables.put(row));
    (Book::from_tables(tables, None), spoiled)
}

fn spoil(value: &mut Value, spoiled: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                match field {
                    Value::String(text) if TYPED.contains(&name.as_str()) => {
                        spoiled.push(name.clone());
                        *text = format!("{HOSTILE}{};", spoiled.len());
                    }
                    other => spoil(other, spoiled),
                }
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|item| spoil(item, spoiled)),
        _ => {}
    }
}
