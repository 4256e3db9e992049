//! A plan in plain lines, for the command line and the preview on the screen.

use crimpbook_workbook::Book;

use super::{Ask, By, Plan, number::short};
use crate::compare::{Difference, differences};

/// One block of a preview.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Its heading.
    pub title: String,
    /// Its lines.
    pub lines: Vec<String>,
}

impl Plan {
    /// How the table was read and what is taken from it.
    pub fn columns_block(&self) -> Block {
        let separator = match self.separator {
            '\t' => "tabs".to_owned(),
            c => format!("{c:?}"),
        };
        let head = self
            .head_line
            .map_or("no head".to_owned(), |line| format!("head on line {line}"));
        let lines = (1..)
            .zip(&self.columns)
            .map(|(n, column)| {
                let field = column.field.map_or("not taken", super::Field::name);
                let by = match column.by {
                    By::Head | By::Nothing => "",
                    By::Values => " (by its values)",
                    By::Told => " (as told)",
                };
                let unit = column
                    .unit
                    .as_ref()
                    .map(|u| format!(", bare numbers in {u}"))
                    .unwrap_or_default();
                let head = if column.head.is_empty() {
                    String::new()
                } else {
                    format!(" {}", short(&column.head))
                };
                format!(
                    "{n}{head} → {field}{by}{}",
                    match (column.field.is_some(), column.clears) {
                        (true, true) => format!("{unit}, empty cells clear it"),
                        (true, false) => unit,
                        (false, _) => String::new(),
                    }
                )
            })
            .collect();
        Block {
            title: format!(
                "columns: {}, parted by {separator}, {head}, {} rows",
                self.encoding, self.rows
            ),
            lines,
        }
    }

    /// What would change, field by field.
    pub fn changes_block(&self, book: &Book) -> Block {
        let changes = self.changes();
        let made = changes.iter().filter(|c| c.before.is_none()).count();
        // New records name each other only in the book as it will be.
        let mut after = crimpbook_workbook::model::Tables::clone(book.tables());
        changes
            .iter()
            .filter_map(|c| c.after.clone())
            .for_each(|record| after.put(record));
        let after = Book::from_tables(after, None);
        Block {
            title: match changes.len() {
                0 if self.problems.is_empty() => {
                    "changes: none, the workbook says all this already".to_owned()
                }
                0 => "changes: none; what is not left out the workbook says already".to_owned(),
                n => format!("changes: {made} new, {} changed", n - made),
            },
            lines: lines(&differences(&after, changes)),
        }
    }

    /// What was not taken, line by line.
    pub fn problems_block(&self) -> Block {
        let lines = self.problems.iter().map(|p| {
            let line = if p.line == 0 {
                "table".to_owned()
            } else {
                format!("line {}", p.line)
            };
            match p.column {
                Some(column) => format!("{line}, {column}: {}", p.sentence),
                None => format!("{line}: {}", p.sentence),
            }
        });
        let rows = self.problems.iter().filter(|p| p.whole_row).count();
        // A table that is all wrong is more often read wrong.
        let doubt = if rows > 10 && rows * 2 > self.rows {
            "; is a column taken for another?"
        } else {
            ""
        };
        Block {
            title: match (rows, self.problems.len() - rows) {
                (0, 0) => "left out: nothing".to_owned(),
                (rows, cells) => format!("left out: {}{doubt}", counted(rows, cells)),
            },
            lines: lines.collect(),
        }
    }

    /// Connectors that rows name and that the table is not for.
    pub fn named_block(&self, book: &Book) -> Block {
        Block {
            title: "rows of other connectors".to_owned(),
            lines: self.named.iter().map(|named| named.words(book)).collect(),
        }
    }

    /// Lines passed over.
    pub fn passed_block(&self) -> Block {
        Block {
            title: format!("passed over: {}", self.passed.len()),
            lines: self
                .passed
                .iter()
                .map(|(line, what)| format!("line {line}: {what}"))
                .collect(),
        }
    }
}

fn counted(rows: usize, cells: usize) -> String {
    let count = |n: usize, one: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {one}s")),
    };
    let parts: Vec<String> = [count(rows, "row"), count(cells, "cell")]
        .into_iter()
        .flatten()
        .collect();
    parts.join(" and ")
}

impl Ask {
    /// The question, and on how many lines it stands.
    pub fn question(&self) -> String {
        let on = |lines: &[u64]| match lines {
            [one] => format!("line {one}"),
            [first, ..] => format!("line {first} and {} more", lines.len() - 1),
            [] => String::new(),
        };
        match self {
            Self::Colour {
                letters,
                may_be,
                lines,
            } => {
                let words: Vec<&str> = may_be.iter().map(|c| c.word()).collect();
                format!(
                    "{letters} is {} by different customs ({})",
                    words.join(" or "),
                    on(lines)
                )
            }
            Self::Comma { example, lines } => {
                format!(
                    "the comma in {example} may be a decimal mark or stand between thousands ({})",
                    on(lines)
                )
            }
        }
    }

    /// The answers as they are typed on the command line.
    pub fn answers(&self) -> Vec<String> {
        match self {
            Self::Colour { letters, may_be, .. } => may_be
                .iter()
                .map(|c| format!("--colour {}={}", letters.to_lowercase(), c.word()))
                .collect(),
            Self::Comma { .. } => vec!["--comma decimal".to_owned(), "--comma thousands".to_owned()],
        }
    }
}

/// Differences, a line a record: `cavity MC-A5: name "" → "OUT 4", page 14`.
pub fn lines(differences: &[Difference]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for d in differences {
        if !d.record.is_empty() {
            lines.push(format!("{}:", crate::text::shown(&d.record)));
        }
        let Some(line) = lines.last_mut() else { continue };
        if d.field.is_empty() {
            line.push_str(&format!(" {}", d.is));
            continue;
        }
        if matches!(d.field.as_str(), "connector" | "label") && d.was.is_empty() {
            continue;
        }
        // A record that is gone has lost its fields as well; a new one has defaults.
        if line.ends_with(" removed")
            || (d.was.is_empty() && matches!(d.is.as_str(), "no" | "undecided" | "free"))
        {
            continue;
        }
        let value = |text: &str| crate::text::shown(text).chars().take(60).collect::<String>();
        let mark = if line.ends_with(':') { " " } else { "; " };
        line.push_str(mark);
        if d.was.is_empty() {
            line.push_str(&format!("{} {}", d.field, value(&d.is)));
        } else {
            let is = if d.is.is_empty() {
                "nothing".to_owned()
            } else {
                value(&d.is)
            };
            line.push_str(&format!("{} {} → {is}", d.field, value(&d.was)));
        }
    }
    lines
}
