//! Rows of wires.

use std::collections::{HashMap, HashSet};

use crimpbook_workbook::{
    edit::make::{WireDraft, next_labels},
    model::{End, Id, Wire},
};

use super::{Field, cells::Cells, number::short, taking::Taking};

/// Takes every row.
pub fn take(taking: &mut Taking<'_>, rows: &[Cells]) {
    let mut seen: HashMap<Id<Wire>, &Cells> = HashMap::new();
    let unnamed = rows
        .iter()
        .filter(|cells| cells.get(Field::Wire).is_none())
        .count();
    let mut free = if unnamed == 0 {
        Vec::new()
    } else {
        next_labels::<Wire>(taking.book, "W", unnamed + rows.len())
    }
    .into_iter();
    let named: HashSet<String> = rows
        .iter()
        .filter_map(|cells| cells.get(Field::Wire))
        .map(str::to_lowercase)
        .collect();
    for cells in rows {
        let (from, to) = match (
            end(taking, cells, Field::From, Field::FromCavity),
            end(taking, cells, Field::To, Field::ToCavity),
        ) {
            (Ok(from), Ok(to)) => (from, to),
            // A wire that ends where nobody knows would be drawn to nowhere.
            _ => continue,
        };
        let label = match cells.get(Field::Wire) {
            Some(label) => label.to_owned(),
            None if from.is_none() && to.is_none() => {
                taking.row_problem(cells.line, "names neither a wire nor an end; the row is left out");
                continue;
            }
            None => match free.find(|label| !named.contains(&label.to_lowercase())) {
                Some(label) => label,
                None => continue,
            },
        };
        let fields = taking.wire_fields(cells, true);
        let id = match taking.draft.wire_labelled(&label) {
            Some(id) => id,
            None => {
                let draft = WireDraft {
                    label: label.clone(),
                    ..WireDraft::default()
                };
                let row = draft.row(taking.ids.make(), label.clone());
                let id = row.id;
                taking.draft.make_wire(row, cells.line);
                id
            }
        };
        match seen.get(&id) {
            Some(first) if first.says_the_same(cells) => continue,
            Some(first) => {
                let first = first.line;
                taking.row_problem(
                    cells.line,
                    format!(
                        "wire {} stands on line {first} already, with other words; this one is left out",
                        short(&label)
                    ),
                );
                continue;
            }
            None => seen.insert(id, cells),
        };
        if let Some(wire) = taking.draft.wire(id, cells.line) {
            wire.from = from.unwrap_or(wire.from);
            wire.to = to.unwrap_or(wire.to);
            fields.put(wire);
        }
    }
}

/// An end as a row names it: whole, or connector and cavity in columns of their own. Err: it is named and not known.
fn end(taking: &mut Taking<'_>, cells: &Cells, whole: Field, cavity: Field) -> Result<Option<End>, ()> {
    let name = match (cells.get(whole), cells.get(cavity)) {
        (None, None) => return Ok(None),
        (Some(name), None) | (None, Some(name)) => name.to_owned(),
        (Some(connector), Some(number)) => format!("{connector} {number}"),
    };
    match taking.book.find_end(&name) {
        Some(end) => Ok(Some(end)),
        None => {
            let sentence = format!(
                "no cavity, splice or stud is called {}; write it as in MC-A16 or SP1, or free; the row is left out",
                short(&name)
            );
            taking.row_problem(cells.line, sentence);
            Err(())
        }
    }
}
