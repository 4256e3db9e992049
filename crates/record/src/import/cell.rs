//! One cell: made clean, told empty, told "as above", read as a figure.

use crimpbook_core::quantity::{Kind, QuantityError, Size};

/// A cell's text, and whether control characters were left out of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clean {
    /// The text: no space around it, line ends and tabs as spaces.
    pub text: String,
    /// Whether characters that act and mean nothing were left out.
    pub dropped: bool,
}

/// Makes a cell clean. Marks that turn the direction of text stay, since every view of ours shows them; an apostrophe
/// that keeps a spreadsheet from running a text, as our own tables have it, is taken away.
pub fn clean(cell: &str) -> Clean {
    let mut text = String::with_capacity(cell.len());
    let mut dropped = false;
    for c in cell.chars() {
        match c {
            '\n' | '\t' | '\r' | '\u{85}' | '\u{a0}' | '\u{2007}' | '\u{202f}' => text.push(' '),
            '\u{feff}' => {}
            c if c.is_control() => dropped = true,
            c => text.push(c),
        }
    }
    let text = text.trim();
    let text = match text.strip_prefix('\'') {
        Some(rest) if crate::csv::begins_formula(rest) || rest.starts_with('\'') => rest,
        _ => text,
    };
    Clean {
        text: text.to_owned(),
        dropped,
    }
}

/// Whether a cell says nothing.
pub fn is_empty(text: &str) -> bool {
    // The box is what our lists print where something is to be written in.
    matches!(text, "" | "[ ]" | "-" | "--" | "–" | "—" | "…" | "n/a" | "N/A")
}

/// Whether a cell says "as the cell above".
pub fn is_ditto(text: &str) -> bool {
    const WORDS: &[&str] = &[
        "same",
        "same as above",
        "as above",
        "ditto",
        "do.",
        "idem",
        "dto",
        "dto.",
        "″",
        "\"",
        "”",
        "“",
        "〃",
        "''",
        "-\"-",
        "-″-",
    ];
    let lower = text.to_lowercase();
    WORDS.contains(&lower.as_str())
}

/// How a comma between digits is meant, where it could be two things.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comma {
    /// A decimal mark (`1,500` is one and a half).
    Decimal,
    /// Between thousands (`1,500` is fifteen hundred).
    Thousands,
}

/// Reads a figure in its base unit. `unit`: the head's, for a bare number.
///
/// # Errors
/// A sentence.
pub fn figure(
    kind: Kind,
    text: &str,
    unit: Option<&str>,
    comma: Option<Comma>,
) -> Result<f64, QuantityError> {
    kind.parse(&with_unit(&bare(text), unit, comma))
}

/// Reads a size. `unit`: the head's, for a bare number.
///
/// # Errors
/// A sentence.
pub fn size(text: &str, unit: Option<&str>, comma: Option<Comma>) -> Result<Size, QuantityError> {
    with_unit(&bare(text), unit, comma).parse()
}

/// A figure without the words around it that add nothing to a highest or usual value (`max. 2 A`, `≤ 2 A`, `approx. 5 V`).
fn bare(text: &str) -> String {
    const BEFORE: &[&str] = &[
        "maximum", "max.", "max", "up to", "approx.", "approx", "ca.", "about", "typ.", "typ", "≤", "<=",
        "<", "~", "≈",
    ];
    const AFTER: &[&str] = &["maximum", "max.", "max", "typ.", "typ", "approx."];
    let mut text = text.trim();
    for word in BEFORE {
        if let Some(rest) = text
            .get(..word.len())
            .filter(|head| head.eq_ignore_ascii_case(word))
            .and_then(|_| text.get(word.len()..))
        {
            text = rest.trim_start();
            break;
        }
    }
    for word in AFTER {
        let at = text.len().saturating_sub(word.len());
        if text.get(at..).is_some_and(|tail| tail.eq_ignore_ascii_case(word)) {
            text = text.get(..at).unwrap_or(text).trim_end();
            break;
        }
    }
    text.to_owned()
}

fn with_unit(text: &str, unit: Option<&str>, comma: Option<Comma>) -> String {
    let text = match comma {
        Some(Comma::Decimal) => text.replacen(',', ".", 1),
        Some(Comma::Thousands) => text.replace(',', ""),
        None => text.to_owned(),
    };
    let number = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || "+-−.,/".contains(c));
    match unit.filter(|_| number) {
        Some("AWG") => format!("AWG {text}"),
        Some(unit) => format!("{text} {unit}"),
        None => text,
    }
}

/// Yes or no. None: neither.
pub fn yes_no(text: &str) -> Option<bool> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "x" | "true" | "1" | "ja" | "oui" => Some(true),
        "no" | "n" | "false" | "0" | "nein" | "non" => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_made_clean() {
        let text = |cell: &str| clean(cell).text;
        assert_eq!(text("  BRAKE\r\nNO\u{a0}\t2 "), "BRAKE  NO  2");
        assert_eq!(
            clean("a\u{1b}[2Jb"),
            Clean {
                text: "a[2Jb".into(),
                dropped: true
            }
        );
        assert_eq!(
            text("W44\u{202e}61"),
            "W44\u{202e}61",
            "a direction mark is kept and shown"
        );
        for (written, meant) in [
            ("'=1+1", "=1+1"),
            ("''=1", "'=1"),
            ("'90 ratio", "'90 ratio"),
            ("=1+1", "=1+1"),
        ] {
            assert_eq!(text(written), meant);
        }
    }

    #[test]
    fn figures_with_their_words_and_units() {
        let amps = |text: &str, unit| figure(Kind::Current, text, unit, None);
        assert_eq!(amps("max. 2,5 A", None), Ok(2.5));
        assert_eq!(amps("≤150mA", None), Ok(0.15));
        assert_eq!(amps("150", Some("mA")), Ok(0.15));
        assert_eq!(amps("2 A max", None), Ok(2.0));
        assert!(amps("> 5 mA", None).is_err(), "a least is no most");
        assert!(
            amps("1,500", Some("mA"))
                .unwrap_err()
                .to_string()
                .contains("1.5 or 1500")
        );
        assert_eq!(
            figure(Kind::Current, "1,500", Some("mA"), Some(Comma::Thousands)),
            Ok(1.5)
        );
        assert_eq!(
            figure(Kind::Current, "1,500", Some("A"), Some(Comma::Decimal)),
            Ok(1.5)
        );
        assert_eq!(
            size("16", Some("AWG"), None).map(|s| s.to_string()),
            Ok("AWG 16".into())
        );
        assert_eq!(
            size("16", Some("mm2"), None).map(|s| s.to_string()),
            Ok("16 mm²".into())
        );
        assert!(
            size("16", None, None)
                .unwrap_err()
                .to_string()
                .contains("can be mm² or a gauge")
        );
    }
}
