//! What is wrong with a document, in one sentence with its place.

use crimpbook_workbook::json::Misfit;

/// A document that cannot be read; nothing was taken from it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// It is JSON, but not a workbook.
    #[error("this JSON is not a workbook: it has no \"crimpbook_format\" field at its top")]
    Foreign,
    /// It was written by a newer program.
    #[error(
        "the workbook is in format {found}, and this program reads formats up to {known}: use a newer one"
    )]
    Newer {
        /// Format of the document.
        found: u64,
        /// Newest format this program reads.
        known: u32,
    },
    /// Something in it is not as it must be.
    #[error("line {line}, column {column}{}: {problem}", at(path))]
    Misfit {
        /// Line, from 1.
        line: usize,
        /// Column, from 1, where reading stopped.
        column: usize,
        /// Where in the document (`records.wires[3].area_mm2`); empty: at its top.
        path: String,
        /// What was found and what was expected.
        problem: String,
    },
}

fn at(path: &str) -> String {
    if path.is_empty() {
        String::new()
    } else {
        format!(", at {path}")
    }
}

impl ReadError {
    /// The misfit that a reader of JSON met.
    pub(super) fn misfit(misfit: Misfit) -> Self {
        Self::Misfit {
            line: misfit.error.line(),
            column: misfit.error.column(),
            problem: problem(&misfit.words()),
            path: misfit.path,
        }
    }
}

/// The reader's words in ours.
fn problem(words: &str) -> String {
    if let Some((found, expected)) = words
        .strip_prefix("invalid type: ")
        .or_else(|| words.strip_prefix("invalid value: "))
        .and_then(|rest| rest.rsplit_once(", expected "))
    {
        return format!(
            "found {}, expected {}",
            found_words(found),
            expected_words(expected)
        );
    }
    if let Some((field, known)) = words
        .strip_prefix("unknown field ")
        .and_then(|rest| rest.split_once(", expected "))
    {
        return format!("there is no field {field} here; expected {}", one_of(known));
    }
    if let Some((variant, known)) = words
        .strip_prefix("unknown variant ")
        .and_then(|rest| rest.split_once(", expected "))
    {
        return format!("found {variant}, expected {}", one_of(known));
    }
    if let Some(field) = words.strip_prefix("missing field ") {
        return format!("the field {field} is missing");
    }
    if let Some(field) = words.strip_prefix("duplicate field ") {
        return format!("the field {field} stands twice");
    }
    plain(words).to_owned()
}

/// Fixed sentences of the readers of JSON and of moments.
fn plain(words: &str) -> &str {
    match words {
        _ if words.starts_with("EOF ") => "the file ends in the middle; is it whole?",
        "expected value" => {
            "found a character that begins no value; expected one, as a text in quotes or a number"
        }
        "trailing characters" => "found more after the end of the document; expected nothing",
        "trailing comma" => "found a comma with nothing after it; expected one more item or no comma",
        "number out of range" => "the number is too large to be kept",
        "input contains invalid characters"
        | "premature end of input"
        | "input is out of range"
        | "trailing input" => "found no moment; expected one in UTC, as in 2031-05-04T09:30:00Z",
        other => other,
    }
}

fn one_of(known: &str) -> String {
    known
        .strip_prefix("one of ")
        .map_or_else(|| known.to_owned(), |list| format!("one of {list}"))
}

fn found_words(found: &str) -> String {
    let plain = match found {
        "null" => "null",
        "map" => "an object",
        "sequence" => "a list",
        _ => "",
    };
    if !plain.is_empty() {
        return plain.to_owned();
    }
    for (theirs, ours) in [
        ("string ", "the text "),
        ("floating point ", "the number "),
        ("integer ", "the number "),
        ("boolean ", ""),
    ] {
        if let Some(value) = found.strip_prefix(theirs) {
            return format!("{ours}{}", value.replace('`', ""));
        }
    }
    found.to_owned()
}

fn expected_words(expected: &str) -> String {
    let plain = match expected {
        "f64" => "a number",
        "i64" | "u32" | "u64" => "a whole number",
        "a string" | "a borrowed string" | "string or map" => "a text",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        _ => "",
    };
    if !plain.is_empty() {
        return plain.to_owned();
    }
    if expected.starts_with("struct ") || expected.starts_with("map") {
        return "an object".to_owned();
    }
    expected.to_owned()
}

#[cfg(test)]
mod tests {
    use super::problem;

    #[test]
    fn reader_words_become_ours() {
        assert_eq!(
            problem("invalid type: string \"a, expected b\", expected f64"),
            "found the text \"a, expected b\", expected a number"
        );
        assert_eq!(
            problem("EOF while parsing an object"),
            "the file ends in the middle; is it whole?"
        );
    }
}
