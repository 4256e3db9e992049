//! One cell.

use chrono::{DateTime, SecondsFormat, Utc};

/// Characters with which a spreadsheet begins a formula; the wide forms are taken so where such keyboards are used.
const FORMULA: &[char] = &['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];

/// A cell of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Not known or not there.
    Nothing,
    /// A text that somebody typed, or words.
    ///
    /// One that begins with `=`, `+`, `-`, `@` (wide forms as well), a tab or a line end gets an apostrophe before it, so
    /// that no spreadsheet runs it; so does one that begins with an apostrophe, so that taking one apostrophe away always
    /// gives the text back. A text that is a plain number (`-5`) stays as it is. Control characters but tab and line feed,
    /// and marks that turn the direction of text, are shown instead of kept.
    Text(String),
    /// A figure in the unit that the head names; a decimal point, no grouping.
    Number(f64),
    /// A count or a place.
    Count(u64),
    /// `yes` or `no`.
    Flag(bool),
    /// A moment in UTC, `2031-05-04T09:30:00Z`.
    Moment(DateTime<Utc>),
}

impl Cell {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A computed figure, to a thousandth of its unit.
    pub fn measured(figure: f64) -> Self {
        // Adding zero takes the sign off a rounded nothing.
        Self::Number((figure * 1000.0).round() / 1000.0 + 0.0)
    }

    /// What a person reads where no spreadsheet is.
    pub fn shown(&self) -> String {
        match self {
            Self::Text(text) => crate::text::shown(text),
            other => other.written(),
        }
    }

    /// What is written, before quoting.
    pub fn written(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(text) => harmless(text),
            Self::Number(number) => number.to_string(),
            Self::Count(count) => count.to_string(),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
            Self::Moment(at) => at.to_rfc3339_opts(SecondsFormat::Secs, true),
        }
    }
}

impl From<Option<f64>> for Cell {
    fn from(number: Option<f64>) -> Self {
        number.map_or(Self::Nothing, Self::Number)
    }
}

impl From<Option<bool>> for Cell {
    fn from(flag: Option<bool>) -> Self {
        flag.map_or(Self::Nothing, Self::Flag)
    }
}

/// Whether a spreadsheet would take a text for a formula.
pub(crate) fn begins_formula(text: &str) -> bool {
    text.starts_with(FORMULA)
}

fn harmless(text: &str) -> String {
    let shown = crate::text::shown(&text.replace("\r\n", "\n"));
    let begins = shown.starts_with(FORMULA) || shown.starts_with('\'') || text.starts_with('\r');
    if begins && !is_plain_number(&shown) {
        format!("'{shown}")
    } else {
        shown
    }
}

/// Digits with a sign and one decimal point: nothing that computes.
fn is_plain_number(text: &str) -> bool {
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
        && digits.matches('.').count() <= 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(text: &str) -> String {
        Cell::text(text).written()
    }

    #[test]
    fn formulas_are_made_harmless() {
        for formula in [
            "=1+1", "+A1", "-A1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "-2+3", "+1-", "＝1", "-", "-1e5",
        ] {
            assert!(written(formula).starts_with('\''), "{formula:?}");
        }
    }

    #[test]
    fn plain_texts_and_numbers_stay() {
        for text in [
            "W44", "-5", "+12.5", "-0.3", "a=b", "", " =1", "GN/WH", "1.2.3", "5 V",
        ] {
            assert_eq!(written(text), text);
        }
        assert_eq!(Cell::Number(-0.5).written(), "-0.5");
    }

    #[test]
    fn taking_one_apostrophe_away_gives_the_text_back() {
        for text in ["=1", "'=1", "'", "''quoted''", "-x", "plain", "-5"] {
            let cell = written(text);
            assert_eq!(cell.strip_prefix('\'').unwrap_or(&cell), text);
        }
    }

    #[test]
    fn what_acts_unseen_is_shown() {
        assert_eq!(written("a\u{1b}[2Jb\u{202e}c"), "a␛[2Jb⟨U+202E⟩c");
    }
}
