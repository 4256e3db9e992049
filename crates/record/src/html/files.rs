//! How to read the files without this program.

use super::RecordInput;
use crate::markup::{Element, el};

pub(super) fn body(_input: &RecordInput<'_>) -> Vec<Element> {
    let item = |name: &str, text: &str| el("li").child(el("b").text(name)).text(text);
    vec![
        el("ul")
            .child(item(
                "This page",
                " is one HTML file. Any browser opens it, from a stick as well; it loads nothing and runs nothing. Print it from the browser, or to a PDF.",
            ))
            .child(item(
                "The files in tables/",
                " are the same tables for a spreadsheet: CSV in UTF-8, comma between cells, decimal point. dictionary.csv says what each column is. \
                 A text that a spreadsheet would run as a formula has an apostrophe before it; take one apostrophe away to get the text.",
            ))
            .child(item(
                "The workbook (.crimpbook)",
                " is an SQLite 3 database with one table for each kind of record and one for the log. Any SQLite browser opens it. Work on a copy.",
            ))
            .child(item(
                "The workbook as JSON",
                " (exported) is text. Each entry of its log is one line; the hash of an entry is the SHA-256 of the hash before it in hexadecimal \
                 (64 zeros for the first), a line feed, and that line without the white space before it and the comma after it. \
                 The hash of the last entry is the verification code on the first page.",
            )),
    ]
}
