//! What to cut from which drum.

use crimpbook_core::quantity::rounded;
use crimpbook_workbook::{
    Book,
    model::Drum,
    plan::{FromDrum, cut_m, from_drums},
};

use crate::{
    csv::{Cell, Column, Sheet},
    words,
};

/// The cut list: every wire drum by drum, and what each drum gives in all, with `waste_percent` on top for what is cut off
/// and cut wrong. Each wire comes whole from one drum; what no drum in stock holds stands by itself.
pub fn cuts(book: &Book, waste_percent: f64) -> Sheet {
    let mut rows = Vec::new();
    let (groups, _) = from_drums(book, waste_percent / 100.0);
    for (group, part) in groups
        .iter()
        .flat_map(|(group, parts)| parts.iter().map(move |part| (group, part)))
    {
        let colour = group
            .colour
            .map_or_else(|| "no colour given".to_owned(), |c| c.to_string());
        let drum = part.drum.map_or_else(String::new, |id| book.label_of(id));
        let mut size = "no size given".to_owned();
        let (mut total_m, mut without_length) = (0.0, 0);
        for wire in part.wires.iter().filter_map(|id| book.get(*id)) {
            if wire.area_mm2.is_some() {
                size = words::size(wire).0;
            }
            let length_m = cut_m(book, wire);
            match length_m {
                Some(length) => total_m += length,
                None => without_length += 1,
            }
            rows.push(vec![
                Cell::text(super::BOX),
                Cell::text(&size),
                Cell::text(&colour),
                Cell::text(&drum),
                Cell::text(&wire.label),
                length_m.map_or(Cell::Nothing, |m| Cell::Number((m * 1000.0).round())),
                Cell::text(book.end_name(wire.from)),
                Cell::text(book.end_name(wire.to)),
            ]);
        }
        rows.push(vec![
            Cell::Nothing,
            Cell::text(&size),
            Cell::text(&colour),
            Cell::text(&drum),
            Cell::text(format!("{} in all", part.wires.len())),
            Cell::Number((total_m * 1000.0).round()),
            Cell::text(format!(
                "{} m with {} % waste",
                rounded(part.needs_m),
                rounded(waste_percent)
            )),
            Cell::text(left_over(book, part, without_length)),
        ]);
    }
    Sheet {
        name: "cuts",
        about: "Cut list, drum by drum; lengths as planned, so cut long where a route is not measured yet",
        columns: Column::list(&[
            ("done", "A box to tick"),
            ("size", "Conductor"),
            ("colour", "IEC 60757 letters"),
            ("drum", "The drum in stock; empty: none holds it"),
            ("wire", "Label; the last line of a drum gives how many"),
            (
                "length_mm",
                "Length to cut, mm, with what the twist of a pair takes; the last line of a drum gives the sum",
            ),
            (
                "from",
                "One end; the last line of a drum gives the metres to draw",
            ),
            (
                "to",
                "Other end; the last line of a drum gives what is left on it, and what is missing",
            ),
        ]),
        rows,
    }
}

/// What a drum has left in the end, or that none holds these; wires without a length.
fn left_over(book: &Book, part: &FromDrum, without_length: usize) -> String {
    let stock = match (part.drum, part.left_m) {
        (Some(_), Some(left)) => format!("{} m left", rounded(left)),
        // Before any drum is entered it is no news that none holds it.
        _ if part.needs_m > 0.0 && !book.all::<Drum>().is_empty() => "no drum in stock holds it".to_owned(),
        _ => String::new(),
    };
    let missing = match without_length {
        0 => String::new(),
        n => format!("{n} without a length"),
    };
    [stock, missing]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join("; ")
}
