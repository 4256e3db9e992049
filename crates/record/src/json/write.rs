//! Writing the document.

use std::{collections::HashMap, fmt::Write as _};

use crimpbook_workbook::{
    Book,
    log::{Entry, Hash, link},
    model::RecordLists,
};
use serde::Serialize;

use super::{FORMAT, layout::Layout, node::Node, schema::defaults};

/// The book and its log as a document, in a stable order: rows by id, fields as documented, entries oldest first.
///
/// Give no entries to leave the log out.
pub fn write(book: &Book, entries: &[Entry]) -> String {
    let mut out = format!("{{\n  \"crimpbook_format\": {FORMAT}");
    let log: Vec<String> = entries.iter().map(Entry::canonical).collect();
    if !log.is_empty() {
        let head = log.iter().fold(Hash::default(), |head, body| link(head, body));
        let _ = write!(out, ",\n  \"head\": \"{head}\"");
    }
    out.push_str(",\n  \"records\": ");
    out.push_str(&rows(&RecordLists::from(book.tables())));
    if !log.is_empty() {
        out.push_str(",\n  \"log\": [\n    ");
        out.push_str(&log.join(",\n    "));
        out.push_str("\n  ]");
    }
    out.push_str("\n}\n");
    out
}

/// The rows without fields that say nothing. Serialising plain structs to memory cannot fail.
pub(crate) fn rows(records: &RecordLists) -> String {
    let mut node: Node = serde_json::to_string(records)
        .and_then(|text| serde_json::from_str(&text))
        .unwrap_or(Node::Fields(Vec::new()));
    let defaults = defaults();
    let none = HashMap::new();
    if let Node::Fields(lists) = &mut node {
        for (list, rows) in lists {
            if let Node::List(rows) = rows {
                rows.iter_mut()
                    .for_each(|row| row.prune(defaults.get(list).unwrap_or(&none)));
            }
        }
    }
    let mut bytes = Vec::new();
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, Layout::inside(1));
    let _ = node.serialize(&mut serializer);
    String::from_utf8(bytes).unwrap_or_default()
}
