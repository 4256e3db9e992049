//! Text to rows of cells: the separator is found, quoted cells are taken apart.

use csv::{ReaderBuilder, StringRecord};

use super::ImportError;

/// Most rows of a table.
pub const MOST_ROWS: usize = 20_000;
/// Most columns of a table.
pub const MOST_COLUMNS: usize = 200;
/// Most bytes of a cell.
pub const MOST_CELL: usize = 32 * 1024;

/// A row and the line it begins on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Line of the text, from 1.
    pub line: u64,
    /// Its cells as they stand.
    pub cells: Vec<String>,
}

impl Row {
    /// Whether nothing stands in it.
    pub fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }

    /// The cells in which something stands.
    pub fn filled(&self) -> impl Iterator<Item = (usize, &str)> {
        let cells = self.cells.iter().enumerate();
        cells
            .map(|(at, cell)| (at, cell.trim()))
            .filter(|(_, cell)| !cell.is_empty())
    }
}

/// A table taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid {
    /// Rows that are not blank.
    pub rows: Vec<Row>,
    /// What parts the cells.
    pub separator: char,
    /// How many columns the widest row has.
    pub columns: usize,
}

impl Grid {
    /// Takes a text apart.
    ///
    /// A quotation mark alone in a cell says "as above" and is not taken for the start of a quoted cell, where that makes
    /// more rows equally wide.
    ///
    /// # Errors
    /// Nothing in it, or more than is read.
    pub fn read(text: &str) -> Result<Self, ImportError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let separator = separator(text);
        let mut rows = best(text, separator);
        rows.retain(|row| !row.is_blank());
        let columns = rows.iter().map(|row| row.cells.len()).max().unwrap_or_default();
        if rows.is_empty() {
            return Err(ImportError::Empty);
        }
        if rows.len() > MOST_ROWS {
            return Err(ImportError::TooManyRows { most: MOST_ROWS });
        }
        for row in &rows {
            check(row)?;
        }
        Ok(Self {
            rows,
            separator,
            columns,
        })
    }
}

fn check(row: &Row) -> Result<(), ImportError> {
    if row.cells.len() > MOST_COLUMNS {
        return Err(ImportError::TooManyColumns {
            line: row.line,
            columns: row.cells.len(),
            most: MOST_COLUMNS,
        });
    }
    match (1..).zip(&row.cells).find(|(_, cell)| cell.len() > MOST_CELL) {
        Some((column, cell)) => Err(ImportError::TooLongCell {
            line: row.line,
            column,
            bytes: cell.len(),
            most: MOST_CELL,
        }),
        None => Ok(()),
    }
}

/// The separator that parts the most lines into the same number of cells, a tab before all others.
fn separator(text: &str) -> char {
    let lines: Vec<&str> = text.lines().filter(|l| !l.trim().is_empty()).take(50).collect();
    if lines.iter().any(|l| l.contains('\t')) {
        return '\t';
    }
    let score = |c: char| {
        let counts: Vec<usize> = lines.iter().map(|l| l.matches(c).count()).collect();
        let usual = counts
            .iter()
            .copied()
            .filter(|n| *n > 0)
            .max_by_key(|n| counts.iter().filter(|m| *m == n).count());
        usual.map_or(0, |usual| counts.iter().filter(|n| **n == usual).count())
    };
    // A decimal comma is in many cells of a table that is parted by semicolons, never the other way round.
    [';', ',', '|']
        .into_iter()
        .rev()
        .max_by_key(|c| (score(*c), *c == ';'))
        .filter(|c| score(*c) > 0)
        .unwrap_or('\t')
}

/// Rows as quoting says, or with lone quotation marks as texts, whichever makes more rows as wide as most are.
fn best(text: &str, separator: char) -> Vec<Row> {
    let strict = rows(text, separator, true);
    let with_marks = lone_marks(text, separator);
    let loose = match &with_marks {
        Some(text) => rows(text, separator, true),
        None if unclosed(text, separator) => rows(text, separator, false),
        None => return strict,
    };
    if regular(&loose) > regular(&strict) {
        loose
    } else {
        strict
    }
}

/// How many rows are as wide as most of them are.
fn regular(rows: &[Row]) -> usize {
    let mut widths = std::collections::HashMap::new();
    for row in rows.iter().filter(|row| !row.is_blank()) {
        *widths.entry(row.cells.len()).or_insert(0) += 1;
    }
    widths
        .into_iter()
        .filter(|(width, _)| *width > 1)
        .map(|(_, n)| n)
        .max()
        .unwrap_or(0)
}

fn rows(text: &str, separator: char, quoting: bool) -> Vec<Row> {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(quoting)
        .delimiter(u8::try_from(separator).unwrap_or(b','))
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = StringRecord::new();
    let mut lines = Lines::default();
    // Reading text from memory cannot fail; one row more than allowed is enough to refuse.
    while rows.len() <= MOST_ROWS * 2 && reader.read_record(&mut record).unwrap_or(false) {
        rows.push(Row {
            line: lines.at(text.as_bytes(), record.position().map_or(0, csv::Position::byte)),
            cells: record.iter().map(str::to_owned).collect(),
        });
    }
    rows
}

/// Counts lines up to where a record begins; the reader itself counts blank lines before one to the one after them.
#[derive(Debug, Default)]
struct Lines {
    byte: usize,
    ends: u64,
}

impl Lines {
    /// The line of the first character that is no line end, from `byte` on. Calls go forward.
    fn at(&mut self, text: &[u8], byte: u64) -> u64 {
        let start = usize::try_from(byte).unwrap_or(usize::MAX).min(text.len());
        let blank = text
            .iter()
            .skip(start)
            .take_while(|b| matches!(b, b'\n' | b'\r'))
            .count();
        while self.byte < start + blank {
            let (this, next) = (text.get(self.byte), text.get(self.byte + 1));
            if this == Some(&b'\n') || (this == Some(&b'\r') && next != Some(&b'\n')) {
                self.ends += 1;
            }
            self.byte += 1;
        }
        self.ends + 1
    }
}

/// The text with `″` for each quotation mark that stands alone in a cell; none: there is no such mark.
fn lone_marks(text: &str, separator: char) -> Option<String> {
    let mut out = String::with_capacity(text.len() + 8);
    let mut chars = text.chars().peekable();
    let (mut start, mut inside, mut found) = (true, false, false);
    while let Some(c) = chars.next() {
        let ends = |next: Option<&char>| next.is_none_or(|n| *n == separator || matches!(n, '\n' | '\r'));
        if inside {
            inside = c != '"' || chars.peek() == Some(&'"');
            out.push(c);
            if c == '"' && inside {
                out.extend(chars.next());
            }
            start = false;
            continue;
        }
        if c == '"' && start && ends(chars.peek()) {
            out.push('″');
            found = true;
        } else {
            inside = c == '"' && start;
            out.push(c);
        }
        start = c == separator || matches!(c, '\n' | '\r');
    }
    found.then_some(out)
}

/// Whether a quoted cell is never closed.
fn unclosed(text: &str, separator: char) -> bool {
    let mut inside = false;
    let mut before = separator;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if inside {
            if c == '"' && chars.peek() == Some(&'"') {
                chars.next();
            } else {
                inside = c != '"';
            }
        } else {
            inside = c == '"' && (before == separator || matches!(before, '\n' | '\r'));
        }
        before = c;
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<Vec<String>> {
        Grid::read(text)
            .unwrap()
            .rows
            .into_iter()
            .map(|row| row.cells)
            .collect()
    }

    #[test]
    fn separators_are_found() {
        assert_eq!(Grid::read("1;0,5;a\n2;0,75;b\n").unwrap().separator, ';');
        assert_eq!(Grid::read("1,a,b\n2,c,d\n").unwrap().separator, ',');
        assert_eq!(Grid::read("1\ta, b; c\n2\td\n").unwrap().separator, '\t');
        assert_eq!(Grid::read("1|a|b\n2|c|d\n").unwrap().separator, '|');
    }

    #[test]
    fn quoted_cells_keep_separators_and_line_ends() {
        assert_eq!(
            cells("1,\"a, \"\"b\"\"\nc\",x\r\n2,y,z\r\n"),
            [vec!["1", "a, \"b\"\nc", "x"], vec!["2", "y", "z"]]
        );
        let rows = Grid::read("1,\"a\nb\"\n\n\n2,c\n").unwrap().rows;
        assert_eq!((rows[0].line, rows[1].line), (1, 5));
    }

    #[test]
    fn a_lone_quotation_mark_is_a_text_where_that_fits_better() {
        let text = "1\tRD\t14\n2\t\"\t14\n3\t\"\t\"\n4\tBK\t15\n";
        assert_eq!(cells(text)[1], ["2", "″", "14"]);
        assert_eq!(cells(text)[3], ["4", "BK", "15"]);
        // The start of a quoted cell all the same.
        assert_eq!(cells("a,b\n1,\",x\"\n2,\",y\"\n")[1], ["1", ",x"]);
    }

    #[test]
    fn a_mark_that_is_never_closed_does_not_swallow_the_rest() {
        let rows = cells("1\t\"open\t14\n2\tb\t14\n3\tc\t14\n");
        assert_eq!(rows.len(), 3);
        assert_eq!(rows[0][1], "\"open");
    }

    #[test]
    fn what_is_too_much_is_refused_with_a_sentence() {
        let refused = |text: &str| Grid::read(text).unwrap_err().to_string();
        assert_eq!(refused(" \n\n"), "the table is empty");
        assert!(refused(&"1,2\n".repeat(MOST_ROWS + 1)).contains("more than 20000 rows"));
        assert_eq!(
            refused(&"1\t2\n".repeat(100_000)),
            "the table has more than 20000 rows; split it"
        );
        let ten_mb = "x".repeat(10_000_000);
        for cell in [ten_mb.clone(), format!("\"{ten_mb}\""), format!("\"{ten_mb}")] {
            let sentence = refused(&format!("Pin\tNote\n1\t{cell}\n2\tb\n"));
            assert!(
                sentence.starts_with("line 2, column 2 holds 1000000") && sentence.ends_with("shorten it"),
                "{sentence}"
            );
        }
        assert!(refused(&",".repeat(MOST_COLUMNS + 1)).contains("empty"));
        assert!(refused(&format!("1{}", ",2".repeat(MOST_COLUMNS))).contains("has 201 columns"));
        assert!(refused(&format!("1,2\n3,{}", "x".repeat(MOST_CELL + 1))).contains("line 2, column 2"));
    }
}
