//! Hostile text in every field that a person types comes out as text.

use crimpbook_workbook::check::Report;

use super::{made, sheet_of, text, tree};
use crate::{
    json::read,
    sample::{self, spoiled},
};

/// Fields that the record does not print: an acceptance stands with its finding, and what a step rested on is for the program.
const NOT_PRINTED: &[&str] = &["check", "who", "why", "group", "value"];

#[test]
fn it_is_shown_and_does_nothing() {
    let (book, spoiled) = spoiled();
    let page = made(&book, &[], &Report::default());
    let tree = tree(&page);
    let names: Vec<&str> = tree.descendants().map(|n| n.tag_name().name()).collect();
    assert!(!names.contains(&"script") && !names.contains(&"img"));
    assert_eq!(names.iter().filter(|n| **n == "style").count(), 1);
    let shown = "</td></style><script>alert(1)</script><img src=x onerror=alert(1)> ⟨U+202E⟩⟨U+2066⟩rtl ␀␛[31m␇ \"quotes' &amp; &#x41; ]]> --> javascript:x \u{fffd}";
    let everything = text(tree.root());
    let missing: Vec<&String> = (1..)
        .zip(&spoiled)
        .filter(|(n, _)| !everything.contains(&format!("{shown}{n};")))
        .map(|(_, name)| name)
        .collect();
    assert_eq!(missing, NOT_PRINTED);
    assert!(!page.contains(|c: char| c.is_control() && c != '\n'));
    assert!(!page.contains(['\u{202e}', '\u{2066}']));
    let sheet = sheet_of(&book);
    let runs = |n: roxmltree::Node<'_, '_>| matches!(n.tag_name().name(), "script" | "img");
    assert!(!self::tree(&sheet).descendants().any(runs));
    assert!(!sheet.contains(['\u{202e}', '\u{2066}', '\u{1b}', '\u{0}']));
}

#[test]
fn a_cell_of_ten_kilobytes_is_whole_and_can_be_broken() {
    let long = "x".repeat(10_000);
    let text_of_book = sample::BOOK.replacen("memory and clock", &long, 1);
    let entries = read(&text_of_book)
        .unwrap()
        .into_entries(sample::stamp(0))
        .unwrap();
    let page = made(&sample::replay(&entries), &entries, &Report::default());
    let tree = tree(&page);
    assert!(text(tree.root()).contains(&long));
    let longest = tree
        .descendants()
        .filter(|n| n.is_text() && n.ancestors().any(|a| a.has_tag_name("table")))
        .filter_map(|n| n.text())
        .flat_map(str::split_whitespace)
        .map(|word| word.chars().count())
        .max();
    assert!(longest <= Some(24), "{longest:?}");
}
