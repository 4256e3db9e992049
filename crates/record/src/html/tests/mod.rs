//! The record read back as a reader's tools would.

mod complete;
mod contrast;
mod drawn;
mod hostile;
mod service;
mod sheet;
mod whole;

use std::collections::BTreeMap;

use chrono::DateTime;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::Report,
    log::{Entry, EntryKind, Hash, link},
    tune::Past,
};
use roxmltree::{Document, Node, ParsingOptions};

use super::{RecordInput, glovebox, record};
use crate::compare::{compare, rewound};

/// The glovebox sheet of a book.
fn sheet_of(book: &Book) -> String {
    input_of(book, &[], &Report::default(), glovebox)
}

/// The record of a book with its log, and with what changed since its last release.
fn made(book: &Book, entries: &[Entry], report: &Report) -> String {
    input_of(book, entries, report, record)
}

fn input_of(book: &Book, entries: &[Entry], report: &Report, page: fn(&RecordInput<'_>) -> String) -> String {
    let released = entries.iter().rposition(|e| e.kind == EntryKind::Release);
    let since = released.map(|at| {
        let led = &entries[at + 1..];
        compare(("revision A", &rewound(book, led)), ("now", book), led)
    });
    let heads: Vec<_> = (1..).zip(entries).map(|(seq, e)| e.head(seq)).collect();
    let head = entries
        .iter()
        .fold(Hash::default(), |head, e| link(head, &e.canonical()));
    let mut past = Past::default();
    for (seq, entry) in (1..).zip(entries) {
        past.take(seq, entry);
    }
    let snapshot = Snapshot::of(book);
    page(&RecordInput {
        snapshot: &snapshot,
        heads: &heads,
        head,
        report,
        since: since.as_ref(),
        past: &past,
        made_at: DateTime::from_timestamp(1_940_000_000, 0).unwrap(),
        program: "crimpbook 0.0.0",
    })
}

/// The page as a tree.
fn tree(page: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(page, options).unwrap()
}

/// All text within an element.
fn text(node: Node<'_, '_>) -> String {
    node.descendants()
        .filter(|n| n.is_text())
        .filter_map(|n| n.text())
        .collect()
}

fn by_id<'a, 'input>(tree: &'a Document<'input>, id: &str) -> Node<'a, 'input> {
    tree.descendants()
        .find(|n| n.attribute("id") == Some(id))
        .unwrap_or_else(|| panic!("nothing has the id {id}"))
}

/// The cells of a table's row by their column's head.
fn cells(row: Node<'_, '_>) -> BTreeMap<String, String> {
    let table = row.ancestors().find(|n| n.has_tag_name("table")).unwrap();
    let head = table.descendants().find(|n| n.has_tag_name("thead")).unwrap();
    let heads = head.descendants().filter(|n| n.has_tag_name("th")).map(text);
    let cells = row.children().filter(Node::is_element).map(text);
    heads.zip(cells).collect()
}
