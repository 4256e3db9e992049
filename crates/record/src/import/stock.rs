//! Rows of counted parts: as the workbook's own table has them, or as the parts list was printed and filled in.

use std::collections::HashMap;

use crimpbook_workbook::model::StockLine;

use super::{
    Field,
    cells::Cells,
    number::short,
    taking::{Taking, set_text},
};

/// What the parts list calls a line that was counted and is in no plan.
const NOT_PLANNED: &str = "not in the plan";
/// What the parts list calls wire: what is at hand of it lies on drums.
const WIRE: &str = "wire";

/// Takes every row.
pub fn take(taking: &mut Taking<'_>, rows: &[Cells]) {
    let mut seen: HashMap<String, u64> = HashMap::new();
    for cells in rows {
        let Some(label) = label(cells) else {
            taking.row_problem(cells.line, "names no part; the row is left out");
            continue;
        };
        if let Some(first) = seen.insert(label.to_lowercase(), cells.line) {
            let sentence = format!(
                "{} stands on line {first} already; this one is left out",
                short(&label)
            );
            taking.row_problem(cells.line, sentence);
            continue;
        }
        let before = taking
            .book
            .index()
            .labelled::<StockLine>(&label)
            .and_then(|id| taking.book.get(id))
            .cloned();
        let on_drums = cells.get(Field::Part) == Some(WIRE);
        let have = match on_drums {
            true => None,
            false => many(taking, cells, Field::Have),
        };
        let ordered = many(taking, cells, Field::Ordered);
        let here = many(taking, cells, Field::Here);
        let said = [have, ordered, here].into_iter().flatten();
        // The parts list has a row for all that is needed; what is not counted is empty there, and what is on drums a nought.
        let counted = said.clone().any(|n| n > 0.0 || !on_drums);
        let said_at_all = counted || [Field::Note, Field::Line].iter().any(|f| cells.get(*f).is_some());
        if before.is_none() && !said_at_all {
            continue;
        }
        let mut line = match &before {
            Some(line) => line.clone(),
            None => StockLine {
                id: taking.ids.make(),
                label,
                have: 0.0,
                ordered: 0.0,
                here: 0.0,
                note: String::new(),
            },
        };
        line.have = have.unwrap_or(line.have);
        line.ordered = ordered.unwrap_or(line.ordered);
        line.here = here.unwrap_or(line.here);
        set_text(cells, Field::Note, &mut line.note);
        taking.draft.put(before, line, cells.line);
    }
}

/// The line as the parts list words it.
fn label(cells: &Cells) -> Option<String> {
    if let Some(line) = cells.get(Field::Line) {
        return Some(line.to_owned());
    }
    let which = cells.get(Field::Which)?;
    Some(match cells.get(Field::Part) {
        None | Some(NOT_PLANNED) => which.to_owned(),
        Some(part) => format!("{part} {which}"),
    })
}

/// How many; less than none is named.
fn many(taking: &mut Taking<'_>, cells: &Cells, field: Field) -> Option<f64> {
    let number = taking.number(cells, field)?;
    if number < 0.0 {
        taking.cell_problem(cells.line, field, "is less than none; left out");
        return None;
    }
    Some(number)
}
