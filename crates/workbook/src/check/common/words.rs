//! Figures and sources in sentences.

use crimpbook_core::tables::Source;

use crate::{Book, model::Cavity};

/// A number with as many digits as a person needs: `0.35`, `1.04`, `13.5`, `238`.
pub fn number(value: f64) -> String {
    let digits = match value.abs() {
        v if v >= 100.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 0.1 => 2,
        _ => 3,
    };
    let text = format!("{value:.digits$}");
    let short = match text.split_once('.') {
        Some(_) => text.trim_end_matches('0').trim_end_matches('.'),
        None => &text,
    };
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

/// A temperature; `no balance` where the wire finds none.
pub fn celsius(value: f64) -> String {
    if value.is_finite() {
        format!("{value:.0} °C")
    } else {
        "no balance at all".to_owned()
    }
}

/// A time in s, min or h.
pub fn time(seconds: f64) -> String {
    match seconds {
        s if s.is_infinite() => "for ever".to_owned(),
        s if s >= 7200.0 => format!("{} h", number(s / 3600.0)),
        s if s >= 120.0 => format!("{} min", number(s / 60.0)),
        s => format!("{} s", number(s)),
    }
}

/// What a verdict rests on, in one line.
pub fn sources<'a>(basis: impl IntoIterator<Item = &'a Source>) -> String {
    let mut seen: Vec<String> = Vec::new();
    for source in basis {
        let text = source.to_string();
        if !seen.contains(&text) {
            seen.push(text);
        }
    }
    seen.join("; ")
}

/// A cavity with its function: `MC-A18 (ECONOMY)`.
pub fn cavity(book: &Book, cavity: &Cavity) -> String {
    let name = book.cavity_name(cavity.id);
    if cavity.name.is_empty() {
        name
    } else {
        format!("{name} ({})", cavity.name)
    }
}

/// `W44`, `W44 and W45`, `W44, W45 and W41`.
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_the_digits_that_matter() {
        let shown: Vec<String> = [0.35, 1.039, 13.5, 238.4, 0.0123, 10.0, 0.5].map(number).into();
        assert_eq!(shown, ["0.35", "1.04", "13.5", "238", "0.012", "10", "0.5"]);
        assert_eq!(
            (number(0.0004), number(-0.0004)),
            ("0".to_owned(), "0".to_owned())
        );
    }

    #[test]
    fn times_and_lists_read_as_people_say_them() {
        assert_eq!(
            (time(50.0), time(600.0), time(f64::INFINITY)),
            ("50 s".into(), "10 min".into(), "for ever".into())
        );
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
