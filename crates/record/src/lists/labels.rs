//! What stands on the labels at both ends of a wire.

use crimpbook_workbook::{
    Book,
    model::{End, Wire},
};
use unicode_width::UnicodeWidthStr;

use crate::{
    csv::{Cell, Column, Sheet},
    order::by_label,
};

/// Narrower than this no label says where a wire goes.
pub const LEAST_WIDTH: usize = 8;

/// Labels for both ends, each of at most `width` columns: the wire, this end, and the other end where it fits.
pub fn labels(book: &Book, width: usize) -> Sheet {
    let rows = by_label::<Wire>(book).into_iter().flat_map(|wire| {
        [(wire.from, wire.to), (wire.to, wire.from)].map(|(here, there)| {
            let text = fitting(book, wire, here, there, width);
            vec![
                Cell::text(super::BOX),
                Cell::text(text.as_deref().unwrap_or(&wire.label)),
                Cell::text(&wire.label),
                Cell::text(book.end_name(here)),
                Cell::text(book.end_name(there)),
                Cell::text(if text.is_some() {
                    ""
                } else {
                    "wider than the strip"
                }),
            ]
        })
    });
    Sheet {
        name: "labels",
        about: "Labels for both ends of every wire; shrink sleeves go on before the contact",
        columns: Column::list(&[
            ("done", "A box to tick"),
            ("text", "What to print"),
            ("wire", "Label of the wire"),
            ("at", "The end it goes on"),
            ("other_end", "Where the wire goes"),
            ("note", "What does not fit"),
        ]),
        rows: rows.collect(),
    }
}

/// The fullest text that fits.
fn fitting(book: &Book, wire: &Wire, here: End, there: End, width: usize) -> Option<String> {
    let (label, here, there) = (&wire.label, book.end_name(here), book.end_name(there));
    [
        format!("{label} {here} > {there}"),
        format!("{label} > {there}"),
        format!("{label} {here}"),
        label.clone(),
    ]
    .into_iter()
    .find(|text| text.width() <= width)
}
