//! The rows of data, cell by cell: "as above" resolved, empty ones left out, titles and repeated heads passed over.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Problem, cell,
    field::Field,
    grid::{Grid, Row},
    head::Head,
    map::Column,
};

/// Longest text that the door lets in, in bytes.
const LONGEST: usize = 10_000;

/// One row of data.
#[derive(Debug, Clone)]
pub struct Cells {
    /// Its line.
    pub line: u64,
    values: BTreeMap<Field, String>,
    cleared: BTreeSet<Field>,
}

impl Cells {
    /// The text of a field, if something stands there.
    pub fn get(&self, field: Field) -> Option<&str> {
        self.values.get(&field).map(String::as_str)
    }

    /// Whether the cell is empty and says by that that the field is to be so.
    pub fn clears(&self, field: Field) -> bool {
        self.cleared.contains(&field)
    }

    /// Whether two rows say the same.
    pub fn says_the_same(&self, other: &Self) -> bool {
        self.values == other.values && self.cleared == other.cleared
    }
}

/// Rows of data, lines that were passed over with what they are, and what is wrong with cells.
pub type Read = (Vec<Cells>, Vec<(u64, String)>, Vec<Problem>);

/// Reads the rows below the head.
pub fn read(grid: &Grid, head: &Head, columns: &[Column], key: Field) -> Read {
    let (mut rows, mut passed, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    for row in grid
        .rows
        .iter()
        .take(head.rows)
        .filter(|row| head.line != Some(row.line))
    {
        passed.push((row.line, "above the data".to_owned()));
    }
    let heads: Vec<&Row> = grid
        .rows
        .iter()
        .take(head.rows)
        .filter(|row| row.filled().count() > 1)
        .collect();
    let mut above: Vec<String> = vec![String::new(); columns.len()];
    let taken = columns.iter().filter(|c| c.field.is_some()).count();
    for row in grid.rows.iter().skip(head.rows) {
        if heads.iter().any(|head| head.cells == row.cells) {
            passed.push((row.line, "the head once more".to_owned()));
            continue;
        }
        let key_at = columns.iter().position(|c| c.field == Some(key));
        let key_cell = key_at.and_then(|at| row.cells.get(at)).map_or("", |c| c.trim());
        let filled = row.filled().count();
        if taken > 1 && filled == 1 && is_title(row, key_cell) {
            let words = row.filled().next().map_or("", |(_, cell)| cell);
            passed.push((row.line, format!("a title: {}", super::number::short(words))));
            continue;
        }
        let (mut values, mut cleared) = (BTreeMap::new(), BTreeSet::new());
        for (at, column) in columns.iter().enumerate() {
            let cell = cell::clean(row.cells.get(at).map_or("", String::as_str));
            let Some(slot) = above.get_mut(at) else { continue };
            let mut text = cell.text;
            let problem = |sentence: &str| Problem {
                line: row.line,
                column: Some(column.field.map_or("", Field::name)),
                whole_row: false,
                sentence: sentence.to_owned(),
            };
            if cell::is_ditto(&text) {
                if slot.is_empty() && column.field.is_some() {
                    problems.push(problem("says \"as above\", but nothing stands above; left out"));
                }
                text.clone_from(slot);
            }
            slot.clone_from(&text);
            let Some(field) = column.field else { continue };
            if cell.dropped {
                problems.push(problem(
                    "held control characters; they are left out, the rest is taken",
                ));
            }
            if text.len() > LONGEST {
                let bytes = text.len();
                problems.push(problem(&format!(
                    "holds {bytes} bytes, a text has at most {LONGEST}; left out"
                )));
            } else if !cell::is_empty(&text) {
                values.insert(field, text);
            } else if column.clears {
                cleared.insert(field);
            }
        }
        if values.is_empty() {
            passed.push((row.line, "nothing in the columns that are taken".to_owned()));
        } else {
            rows.push(Cells {
                line: row.line,
                values,
                cleared,
            });
        }
    }
    (rows, passed, problems)
}

/// Whether a row's only cell is a title over the rows beneath: words, where a number is expected.
fn is_title(row: &Row, key_cell: &str) -> bool {
    row.filled()
        .any(|(_, cell)| cell.chars().any(char::is_alphabetic))
        && (key_cell.is_empty() || !key_cell.chars().any(|c| c.is_ascii_digit()))
}
