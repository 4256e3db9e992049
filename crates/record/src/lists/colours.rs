//! Colours proposed from stock for wires that have none.

use crimpbook_workbook::{
    Book,
    model::{Wire, WireUse},
    plan::Proposal,
};

use crate::{
    csv::{Cell, Column, Sheet},
    words,
};

/// What is proposed for each wire without a colour, or what stands against it.
pub fn colours(book: &Book, proposals: &[Proposal]) -> Sheet {
    let row = |proposal: &Proposal| {
        let wire: &Wire = book.get(proposal.wire)?;
        let (colour, drum, why) = match &proposal.colour {
            Ok((colour, drum)) => (colour.to_string(), book.label_of(*drum), String::new()),
            Err(why) => (String::new(), String::new(), why.clone()),
        };
        let size = if wire.area_mm2.is_some() {
            words::size(wire).0
        } else {
            String::new()
        };
        Some(vec![
            Cell::text(&wire.label),
            Cell::text(size),
            Cell::text(proposal.purpose.map_or("", WireUse::words)),
            Cell::text(colour),
            Cell::text(drum),
            Cell::text(book.end_name(wire.from)),
            Cell::text(book.end_name(wire.to)),
            Cell::text(why),
        ])
    };
    Sheet {
        name: "colours",
        about: "Colours proposed from stock for wires that have none; by the house's colours, none twice in a plug",
        columns: Column::list(&[
            ("wire", "Label"),
            ("size", "Conductor"),
            ("use", "What the plan tells it is for; empty: nothing tells"),
            ("colour", "IEC 60757 letters; empty: nothing fits"),
            ("drum", "Where it comes from"),
            ("from", "One end"),
            ("to", "Other end"),
            ("note", "What stands against a colour"),
        ]),
        rows: proposals.iter().filter_map(row).collect(),
    }
}
