//! Rows of drums.

use std::collections::HashMap;

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::{Drum, Id};

use super::{
    Field,
    cells::Cells,
    number::short,
    taking::{Taking, set, set_text},
};

/// Takes every row.
pub fn take(taking: &mut Taking<'_>, rows: &[Cells]) {
    let mut seen: HashMap<String, u64> = HashMap::new();
    for cells in rows {
        let Some(label) = cells.get(Field::Drum) else {
            taking.row_problem(cells.line, "names no drum; the row is left out");
            continue;
        };
        if let Some(first) = seen.insert(label.to_lowercase(), cells.line) {
            let sentence = format!(
                "drum {} stands on line {first} already; this one is left out",
                short(label)
            );
            taking.row_problem(cells.line, sentence);
            continue;
        }
        let before = taking
            .book
            .index()
            .labelled::<Drum>(label)
            .and_then(|id| taking.book.get(id))
            .cloned();
        // A size that is not in mm² stands as it was written; its area beside it is made from it.
        let written = cells.get(Field::SizeWritten).map(str::to_owned);
        let size = match written {
            Some(text) => taking.written_size(cells, &text),
            None => taking.size(cells).map(|(area, written, _)| (area, written)),
        };
        let colour = taking.colour(cells);
        let stock_m = taking.figure(cells, Field::InStock, Kind::Length);
        let class = taking.figure(cells, Field::Class, Kind::Temperature);
        let mut drum = match (&before, &size, stock_m) {
            (Some(drum), ..) => drum.clone(),
            (None, Some((area_mm2, written)), Some(stock_m)) => Drum {
                id: new_id(taking),
                label: label.to_owned(),
                area_mm2: *area_mm2,
                size_written: written.clone(),
                insulation_class_c: None,
                colour: None,
                stock_m,
                note: String::new(),
            },
            (None, size, _) => {
                let lacks = if size.is_none() { "size" } else { "length in stock" };
                let sentence = format!(
                    "drum {} is new and needs a {lacks}; the row is left out",
                    short(label)
                );
                taking.row_problem(cells.line, sentence);
                continue;
            }
        };
        if let Some((area_mm2, written)) = size {
            (drum.area_mm2, drum.size_written) = (area_mm2, written);
        }
        drum.stock_m = stock_m.unwrap_or(drum.stock_m);
        set(cells, Field::Colour, &mut drum.colour, colour);
        set(cells, Field::Class, &mut drum.insulation_class_c, class);
        set_text(cells, Field::Note, &mut drum.note);
        taking.draft.put(before, drum, cells.line);
    }
}

fn new_id(taking: &mut Taking<'_>) -> Id<Drum> {
    taking.ids.make()
}
