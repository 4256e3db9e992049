//! The elements of lists: rows of tables of their own, kept as cells until the record is read that they are of.

use std::{collections::HashMap, ops::Range};

use rusqlite::{Connection, types::ValueRef};
use serde::de::{DeserializeSeed, SeqAccess};

use crate::error::Trouble;

use super::{
    Plan,
    parts::Parts,
    plan::ListPlan,
    read::{Error, One},
    shape::Part,
};

/// The elements of one list of a kind, of all its records or of one.
pub(crate) struct ListRows {
    parts: &'static [Part],
    /// Row after row, as many as there are parts.
    cells: Vec<Cell>,
    /// All texts, one after the other.
    texts: String,
    /// Which rows are of which record.
    owners: HashMap<String, Range<usize>>,
}

/// A cell, its text standing elsewhere.
#[derive(Clone, Copy)]
enum Cell {
    Null,
    Whole(i64),
    Real(f64),
    Text(usize, usize),
}

/// Reads the elements of each list of a kind: all of them, or those of one record.
pub(crate) fn list_rows(db: &Connection, plan: &Plan, owner: Option<&str>) -> Result<Vec<ListRows>, Trouble> {
    plan.lists.iter().map(|list| read(db, list, owner)).collect()
}

fn read(db: &Connection, list: &ListPlan, owner: Option<&str>) -> Result<ListRows, Trouble> {
    let mut found = ListRows {
        parts: list.list.parts,
        cells: Vec::new(),
        texts: String::new(),
        owners: HashMap::new(),
    };
    let (sql, params): (_, &[&dyn rusqlite::ToSql]) = match &owner {
        None => (&list.select, &[]),
        Some(owner) => (&list.select_one, &[owner]),
    };
    let mut statement = db.prepare_cached(sql)?;
    let mut rows = statement.query(params)?;
    // They come owner by owner.
    let mut of = String::new();
    let (mut first, mut next) = (0, 0);
    while let Some(row) = rows.next()? {
        let owner = row.get_ref(0)?.as_str().map_err(rusqlite::Error::from)?;
        if owner != of {
            found.close(&mut of, first..next);
            first = next;
            of.push_str(owner);
        }
        for column in 1..=found.parts.len() {
            let kept = found.keep(row.get_ref(column)?).map_err(|problem| Trouble::Row {
                place: format!("a row of {of} in table {}", list.list.table),
                problem: problem.to_string(),
            })?;
            found.cells.push(kept);
        }
        next += 1;
    }
    found.close(&mut of, first..next);
    Ok(found)
}

impl ListRows {
    fn close(&mut self, owner: &mut String, rows: Range<usize>) {
        if !rows.is_empty() {
            self.owners.insert(std::mem::take(owner), rows);
        }
    }

    fn keep(&mut self, cell: ValueRef<'_>) -> Result<Cell, Error> {
        Ok(match cell {
            ValueRef::Null => Cell::Null,
            ValueRef::Integer(whole) => Cell::Whole(whole),
            ValueRef::Real(real) => Cell::Real(real),
            ValueRef::Text(_) => {
                let text = cell.as_str().map_err(serde::de::Error::custom)?;
                self.texts.push_str(text);
                Cell::Text(self.texts.len() - text.len(), self.texts.len())
            }
            ValueRef::Blob(_) => return Err(serde::de::Error::custom("a blob is no value of a workbook")),
        })
    }

    /// The elements of one record's list.
    pub(super) fn of(&self, owner: &str) -> Elements<'_> {
        Elements {
            rows: self,
            left: self.owners.get(owner).cloned().unwrap_or_default(),
        }
    }

    fn row(&self, at: usize) -> Vec<ValueRef<'_>> {
        let width = self.parts.len();
        let cells = self.cells.get(at * width..(at + 1) * width).unwrap_or_default();
        let text = |from: usize, to: usize| self.texts.as_bytes().get(from..to).unwrap_or_default();
        cells
            .iter()
            .map(|cell| match *cell {
                Cell::Null => ValueRef::Null,
                Cell::Whole(whole) => ValueRef::Integer(whole),
                Cell::Real(real) => ValueRef::Real(real),
                Cell::Text(from, to) => ValueRef::Text(text(from, to)),
            })
            .collect()
    }
}

/// A list that is being read, element by element.
pub(super) struct Elements<'r> {
    rows: &'r ListRows,
    left: Range<usize>,
}

impl<'de> SeqAccess<'de> for Elements<'_> {
    type Error = Error;
    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some(at) = self.left.next() else {
            return Ok(None);
        };
        let cells = self.rows.row(at);
        let element = match (self.rows.parts, cells.as_slice()) {
            ([part], [cell]) if part.path.is_empty() => seed.deserialize(One(*cell, part.form)),
            (parts, cells) => seed.deserialize(Parts::all(parts, cells)),
        };
        element.map(Some)
    }
    fn size_hint(&self) -> Option<usize> {
        Some(self.left.len())
    }
}
