//! The legend for the lid of the fuse box.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{analysis::Snapshot, model::Fuse};

use crate::{
    csv::{Cell, Column, Sheet},
    fuse::{colour, wires_meant, wires_traced},
    order::by_label,
    words,
};

/// Every fuse with what goes out when it blows.
pub fn fuses(see: &Snapshot) -> Sheet {
    let book = see.book();
    let rows = by_label::<Fuse>(book).into_iter().map(|fuse| {
        let traced = wires_traced(see, fuse.id);
        let note = if traced.is_none() {
            "as meant; no source reaches it"
        } else {
            ""
        };
        let wires = traced.unwrap_or_else(|| wires_meant(book, fuse.id));
        vec![
            Cell::text(&fuse.label),
            Cell::text(Kind::Current.print(fuse.rating_a)),
            Cell::text(colour(fuse)),
            Cell::text(words::fuse_kind(fuse.kind)),
            Cell::text(&fuse.feeds),
            Cell::text(&fuse.holder),
            Cell::text(wires.join(" ")),
            Cell::text(note),
        ]
    });
    Sheet {
        name: "fuses",
        about: "Fuse legend; put in no other rating than the one listed, and find the cause before a fuse is replaced twice",
        columns: Column::list(&[
            ("fuse", "Label"),
            ("rating", "Rating"),
            ("colour", "Usual colour of that rating"),
            ("kind", "Kind"),
            ("feeds", "What goes out with it"),
            ("holder", "Where it sits"),
            ("wires", "Wires beneath it, as traced"),
            ("note", "What is not traced"),
        ]),
        rows: rows.collect(),
    }
}
