//! What to cut from which drum.

use crimpbook_core::quantity::rounded;
use crimpbook_workbook::{Book, plan::cut_list};

use crate::{
    csv::{Cell, Column, Sheet},
    words,
};

/// The cut list: every wire drum by drum, and what each drum gives in all, with `waste_percent` on top for what is cut off
/// and cut wrong.
pub fn cuts(book: &Book, waste_percent: f64) -> Sheet {
    let mut rows = Vec::new();
    for group in cut_list(book) {
        let colour = group
            .colour
            .map_or_else(|| "no colour given".to_owned(), |c| c.to_string());
        let mut size = "no size given".to_owned();
        for wire in group.wires.iter().filter_map(|id| book.get(*id)) {
            if wire.area_mm2.is_some() {
                size = words::size(wire).0;
            }
            rows.push(vec![
                Cell::text(super::BOX),
                Cell::text(&size),
                Cell::text(&colour),
                Cell::text(&wire.label),
                wire.length_m
                    .map_or(Cell::Nothing, |m| Cell::Number((m * 1000.0).round())),
                Cell::text(book.end_name(wire.from)),
                Cell::text(book.end_name(wire.to)),
            ]);
        }
        let missing = match group.without_length {
            0 => String::new(),
            n => format!("{n} without a length"),
        };
        rows.push(vec![
            Cell::Nothing,
            Cell::text(&size),
            Cell::text(&colour),
            Cell::text(format!("{} in all", group.wires.len())),
            Cell::Number((group.total_m * 1000.0).round()),
            Cell::text(format!(
                "{} m with {} % waste",
                rounded(group.total_m * (1.0 + waste_percent / 100.0)),
                rounded(waste_percent)
            )),
            Cell::text(missing),
        ]);
    }
    Sheet {
        name: "cuts",
        about: "Cut list, drum by drum; lengths as planned, so cut long where a route is not measured yet",
        columns: Column::list(&[
            ("done", "A box to tick"),
            ("size", "Conductor"),
            ("colour", "IEC 60757 letters"),
            ("wire", "Label; the last line of a drum gives how many"),
            (
                "length_mm",
                "Length to cut, mm; the last line of a drum gives the sum",
            ),
            (
                "from",
                "One end; the last line of a drum gives the metres to draw",
            ),
            ("to", "Other end; the last line of a drum gives what is missing"),
        ]),
        rows,
    }
}
