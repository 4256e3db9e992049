//! A table as lines of text.

use unicode_width::UnicodeWidthStr;

use crate::csv::Sheet;

/// Columns are no wider than this; a longer cell lengthens its own line only.
const WIDEST: usize = 80;

impl Sheet {
    /// Lines of text: what the table is, its heads, its rows in columns as wide as they need to be.
    pub fn lines(&self) -> Vec<String> {
        let rows: Vec<Vec<String>> = self
            .rows
            .iter()
            .map(|row| row.iter().map(|cell| one_line(&cell.shown())).collect())
            .collect();
        let heads: Vec<String> = self
            .columns
            .iter()
            .map(|column| column.head.replace('_', " "))
            .collect();
        let widths: Vec<usize> = (0..heads.len())
            .map(|at| {
                let cells = rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.width());
                cells
                    .filter(|width| *width <= WIDEST)
                    .chain(heads.get(at).map(|head| head.width()))
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        let line = |cells: &[String]| {
            let padded = cells.iter().zip(&widths).map(|(cell, width)| {
                let room = width.saturating_sub(cell.width());
                format!("{cell}{}", " ".repeat(room))
            });
            padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
        };
        let mut lines = vec![self.about.to_owned(), line(&heads)];
        lines.extend(rows.iter().map(|row| line(row)));
        lines
    }
}

fn one_line(text: &str) -> String {
    text.replace(['\n', '\t'], " ")
}
