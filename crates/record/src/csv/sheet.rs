//! A table: its columns with what they mean, and its rows.

use csv::{Terminator, WriterBuilder};

use super::Cell;

/// A table to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Name without ending (`wires`).
    pub name: &'static str,
    /// What its rows are.
    pub about: &'static str,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, each as long as `columns`.
    pub rows: Vec<Vec<Cell>>,
}

/// A column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its head, with the unit in it (`length_m`).
    pub head: &'static str,
    /// What it is.
    pub meaning: &'static str,
}

impl Column {
    /// Columns of heads and meanings.
    pub(crate) fn list(columns: &[(&'static str, &'static str)]) -> Vec<Self> {
        columns
            .iter()
            .map(|(head, meaning)| Self { head, meaning })
            .collect()
    }
}

/// A column of rows of kind `R`: head, meaning, cell.
pub(super) type Of<R> = (
    &'static str,
    &'static str,
    fn(&crimpbook_workbook::Book, &R) -> Cell,
);

impl Sheet {
    /// A table of `rows`.
    pub(super) fn of<'r, R: 'r>(
        name: &'static str,
        about: &'static str,
        book: &crimpbook_workbook::Book,
        rows: impl IntoIterator<Item = &'r R>,
        columns: &[Of<R>],
    ) -> Self {
        let cells = |row: &R| columns.iter().map(|(_, _, cell)| cell(book, row)).collect();
        Self {
            name,
            about,
            columns: columns
                .iter()
                .map(|(head, meaning, _)| Column { head, meaning })
                .collect(),
            rows: rows.into_iter().map(cells).collect(),
        }
    }

    /// With a column at its end.
    pub(super) fn add(
        &mut self,
        head: &'static str,
        meaning: &'static str,
        cells: impl IntoIterator<Item = Cell>,
    ) {
        self.columns.push(Column { head, meaning });
        for (row, cell) in self.rows.iter_mut().zip(cells) {
            row.push(cell);
        }
    }

    /// Name of its file.
    pub fn file(&self) -> String {
        format!("{}.csv", self.name)
    }

    /// The file: RFC 4180, UTF-8.
    pub fn bytes(&self) -> Vec<u8> {
        let mut writer = WriterBuilder::new()
            .terminator(Terminator::CRLF)
            .from_writer(Vec::new());
        // Writing to memory cannot fail, and every row has as many cells as there are columns.
        let _ = writer.write_record(self.columns.iter().map(|c| c.head));
        for row in &self.rows {
            let _ = writer.write_record(row.iter().map(Cell::written));
        }
        writer.into_inner().unwrap_or_default()
    }
}

/// What every column of `sheets` is.
pub(super) fn dictionary(sheets: &[Sheet]) -> Sheet {
    let row = |sheet: &Sheet, column: &Column| {
        [
            sheet.file(),
            sheet.about.to_owned(),
            column.head.to_owned(),
            column.meaning.to_owned(),
        ]
        .map(Cell::Text)
        .to_vec()
    };
    Sheet {
        name: "dictionary",
        about: "Every column of every file",
        columns: Column::list(&[
            ("file", "The file"),
            ("rows_are", "What its rows are"),
            ("column", "The column's head"),
            ("meaning", "What it holds"),
        ]),
        rows: sheets
            .iter()
            .flat_map(|sheet| sheet.columns.iter().map(|column| row(sheet, column)))
            .collect(),
    }
}
