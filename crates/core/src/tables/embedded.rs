//! A small reader for the embedded tables: RFC 4180 fields, a header row, no reordering. A full CSV library is not
//! needed at run time for text that is fixed at build time.

use super::{HowKnown, Source};
use std::borrow::Cow;
use std::fmt;
use std::sync::LazyLock;

/// Why an embedded table cannot be read: which table, which line, what is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableError {
    /// File name in `/assets`.
    pub table: &'static str,
    /// Line of the file, the header being line 1.
    pub line: usize,
    /// What is wrong, as a sentence.
    pub what: String,
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} line {}: {}", self.table, self.line, self.what)
    }
}

impl std::error::Error for TableError {}

/// A table that is read on first use. `read` fails only if the embedded text is broken, which a test excludes.
pub(crate) type Embedded<T> = LazyLock<Result<Vec<T>, TableError>>;

/// The rows of an embedded table.
pub(crate) fn rows<T>(table: &'static Embedded<T>) -> &'static [T] {
    match &**table {
        Ok(rows) => rows,
        Err(_) => &[],
    }
}

/// One data row, read by column name.
pub(crate) struct Row<'a> {
    columns: &'a [Cow<'static, str>],
    fields: Vec<Cow<'static, str>>,
}

impl Row<'_> {
    pub fn text(&self, column: &str) -> Result<Cow<'static, str>, String> {
        let at = self.columns.iter().position(|c| c == column);
        let field = at.and_then(|i| self.fields.get(i));
        field
            .cloned()
            .ok_or_else(|| format!("There is no column `{column}`."))
    }

    pub fn number(&self, column: &str) -> Result<f64, String> {
        let text = self.text(column)?;
        text.parse()
            .map_err(|_| format!("`{text}` in column `{column}` is not a number."))
    }

    pub fn number_or_empty(&self, column: &str) -> Result<Option<f64>, String> {
        if self.text(column)?.is_empty() {
            Ok(None)
        } else {
            self.number(column).map(Some)
        }
    }

    pub fn source(&self) -> Result<Source, String> {
        let word = self.text("how_known")?;
        let how_known = HowKnown::from_word(&word).ok_or_else(|| format!("`{word}` is no way to know."))?;
        Ok(Source {
            text: self.text("source")?,
            how_known,
        })
    }
}

/// Reads a whole table, each row by `row`.
pub(crate) fn read<T>(
    table: &'static str,
    text: &'static str,
    row: fn(&Row<'_>) -> Result<T, String>,
) -> Result<Vec<T>, TableError> {
    let mut lines = text.lines().enumerate();
    let columns = lines.next().map(|(_, header)| fields(header)).unwrap_or_default();
    lines
        .filter(|(_, line)| !line.is_empty())
        .map(|(at, line)| {
            let fail = |what| TableError {
                table,
                line: at + 1,
                what,
            };
            let fields = fields(line);
            if fields.len() != columns.len() {
                return Err(fail(format!(
                    "{} fields for {} columns.",
                    fields.len(),
                    columns.len()
                )));
            }
            row(&Row {
                columns: &columns,
                fields,
            })
            .map_err(fail)
        })
        .collect()
}

/// Splits one line; no field of our tables holds a line break.
fn fields(line: &'static str) -> Vec<Cow<'static, str>> {
    let mut fields = Vec::new();
    let mut rest = line;
    loop {
        if let Some(quoted) = rest.strip_prefix('"') {
            let mut field = String::new();
            let mut chars = quoted.char_indices().peekable();
            rest = "";
            while let Some((at, c)) = chars.next() {
                match (c, chars.peek()) {
                    ('"', Some((_, '"'))) => {
                        field.push('"');
                        chars.next();
                    }
                    ('"', _) => {
                        rest = quoted.get(at + 1..).unwrap_or_default();
                        break;
                    }
                    _ => field.push(c),
                }
            }
            fields.push(Cow::Owned(field));
            match rest.strip_prefix(',') {
                Some(more) => rest = more,
                None => return fields,
            }
        } else if let Some((field, more)) = rest.split_once(',') {
            fields.push(Cow::Borrowed(field));
            rest = more;
        } else {
            fields.push(Cow::Borrowed(rest));
            return fields;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_may_be_quoted_and_empty() {
        assert_eq!(fields(r#"a,"b, ""c""",,d"#), ["a", "b, \"c\"", "", "d"]);
        assert_eq!(fields(r#"a,"b""#), ["a", "b"]);
        assert_eq!(fields("a,"), ["a", ""]);
    }

    #[test]
    fn a_broken_row_is_named_by_its_line() {
        let error = read("t.csv", "a,source,how_known\n1,x,read\nx,x,read\n", |r| {
            r.number("a")
        })
        .unwrap_err();
        assert_eq!(
            error.to_string(),
            "t.csv line 3: `x` in column `a` is not a number."
        );
        let error = read("t.csv", "a,b\n1\n", |r| r.number("a")).unwrap_err();
        assert_eq!(error.to_string(), "t.csv line 2: 1 fields for 2 columns.");
        let error = read("t.csv", "a,source,how_known\n1,x,dreamt\n", |r| r.source()).unwrap_err();
        assert_eq!(error.to_string(), "t.csv line 2: `dreamt` is no way to know.");
    }
}
