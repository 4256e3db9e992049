//! The order of a list and the words its rows are held to. Both stay while the workbook is open, and the memo keeps
//! them for the next time.

mod lists;

use std::{cmp::Ordering, collections::BTreeMap};

use crimpbook_workbook::{
    book::{Natural, natural},
    model::Kind,
};

use super::{Model, build::Order, parts};
use crate::screen::text::count;
pub use lists::{cursor, identities, list_of, rows_shown, set_cursor};

/// A list whose rows can be put in order or held to some words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    Findings,
    Sources,
    Build,
    FarEnds,
    Volts,
    Written,
    Tests,
    Settings,
    Trials,
    Log,
    Parts(Kind),
}

impl List {
    /// What it is called in the memo.
    pub fn name(self) -> &'static str {
        match self {
            Self::Findings => "findings",
            Self::Sources => "sources",
            Self::Build => "build",
            Self::FarEnds => "far ends",
            Self::Volts => "volts",
            Self::Written => "written",
            Self::Tests => "tests",
            Self::Settings => "settings",
            Self::Trials => "trials",
            Self::Log => "log",
            Self::Parts(kind) => parts::heading(kind),
        }
    }

    /// Its orders in words; the first is the one it comes in.
    pub fn orders(self) -> &'static [&'static str] {
        match self {
            Self::Findings => &["the gravest first", "by place", "by check"],
            Self::Sources => &["unit by unit", "by name", "by kind"],
            Self::Build => Order::WORDS,
            Self::FarEnds => &[
                "the gravest first",
                "by wire",
                "by fuse",
                "by what flows",
                "by when the fuse opens",
            ],
            Self::Volts => &["cavity by cavity", "by name", "by kind"],
            Self::Written => &["kind by kind"],
            Self::Tests => &["in working order"],
            Self::Settings => &["unit by unit", "by name", "by value", "by page"],
            Self::Trials => &["the newest first", "by place", "by marks"],
            Self::Log => &["the newest first", "by who", "by kind"],
            Self::Parts(Kind::Wire) => &[
                "by number",
                "by size",
                "by colour",
                "by length",
                "by from",
                "by to",
                "by signal",
            ],
            Self::Parts(Kind::Fuse) => &["by name", "by rating", "by what it feeds"],
            Self::Parts(Kind::About) => &["by name"],
            Self::Parts(_) => &["by name", "by what it is"],
        }
    }
}

/// The order and the words of one list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sieve {
    /// Place among the orders of the list.
    pub by: usize,
    /// Whether the order is turned round.
    pub turned: bool,
    /// Only rows with these words; empty: every row.
    pub words: String,
}

impl Sieve {
    /// Whether the list is as it comes, and whole.
    pub fn is_plain(&self) -> bool {
        *self == Self::default()
    }
}

/// Those of every list, by its name; one that is plain is not kept.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sieves(pub BTreeMap<String, Sieve>);

impl Sieves {
    /// That of a list.
    pub fn of(&self, list: List) -> Sieve {
        let mut sieve = self.0.get(list.name()).cloned().unwrap_or_default();
        // A memo may be of another version of the program.
        if sieve.by >= list.orders().len() {
            sieve.by = 0;
        }
        sieve
    }

    /// Sets that of a list.
    pub fn set(&mut self, list: List, sieve: Sieve) {
        if sieve.is_plain() {
            self.0.remove(list.name());
        } else {
            self.0.insert(list.name().to_owned(), sieve);
        }
    }
}

/// What a row is put in order by.
#[derive(Debug, Clone, PartialEq)]
pub enum By {
    /// Words, as people expect labels.
    Words(Natural),
    /// A figure.
    Figure(f64),
    /// It has none: it comes last, whichever way round.
    Nothing,
}

impl By {
    /// By words; none where they are empty.
    pub fn words(words: impl AsRef<str>) -> Self {
        match words.as_ref() {
            "" => Self::Nothing,
            words => Self::Words(natural(words)),
        }
    }

    /// By a figure, if there is one.
    pub fn figure(value: Option<f64>) -> Self {
        value.map_or(Self::Nothing, Self::Figure)
    }

    fn compare(&self, other: &Self, turned: bool) -> Ordering {
        let order = match (self, other) {
            (Self::Nothing, Self::Nothing) => return Ordering::Equal,
            (Self::Nothing, _) => return Ordering::Greater,
            (_, Self::Nothing) => return Ordering::Less,
            (Self::Figure(a), Self::Figure(b)) => a.total_cmp(b),
            (Self::Words(a), Self::Words(b)) => a.cmp(b),
            // Figures before words, where a column has both.
            (Self::Figure(_), Self::Words(_)) => Ordering::Less,
            (Self::Words(_), Self::Figure(_)) => Ordering::Greater,
        };
        if turned { order.reverse() } else { order }
    }
}

#[cfg(test)]
thread_local! {
    /// How many rows were gone through to arrange lists.
    pub static ARRANGED: std::cell::Cell<usize> = const { std::cell::Cell::new(0) };
}

/// Keeps the rows with the words of the sieve and puts them in its order; rows alike in that stay as they came.
pub fn arrange<R>(
    sieve: &Sieve,
    rows: &mut Vec<R>,
    said: impl Fn(&R) -> String,
    by: impl Fn(&R, usize) -> By,
) {
    #[cfg(test)]
    ARRANGED.with(|arranged| arranged.set(arranged.get() + rows.len()));
    if !sieve.words.is_empty() {
        rows.retain(|row| has(&said(row), &sieve.words));
    }
    if sieve.by > 0 {
        let mut keyed: Vec<(By, R)> = rows.drain(..).map(|row| (by(&row, sieve.by), row)).collect();
        keyed.sort_by(|a, b| a.0.compare(&b.0, sieve.turned));
        rows.extend(keyed.into_iter().map(|(_, row)| row));
    } else if sieve.turned {
        rows.reverse();
    }
}

/// Whether every one of `words` begins a word of what is said.
pub fn has(said: &str, words: &str) -> bool {
    let said = said.to_lowercase();
    let parts = |c: char| c.is_whitespace() || matches!(c, '/' | '-' | ',' | ';' | ':' | '(' | ')' | '"');
    let tokens: Vec<&str> = said.split_whitespace().chain(said.split(parts)).collect();
    words.to_lowercase().split_whitespace().all(|word| {
        // A number is meant whole: 0.5 is not 0.75, and 1 is not 1.5.
        let number = word.parse::<f64>().is_ok();
        tokens
            .iter()
            .any(|t| if number { *t == word } else { t.starts_with(word) })
    })
}

/// What the line over the list says of its order and words; empty where it is as it comes.
pub fn told(model: &Model) -> String {
    let Some(list) = list_of(model).filter(|list| *list != List::Build) else {
        return String::new();
    };
    let sieve = model.sieves.of(list);
    let mut parts = Vec::new();
    if !sieve.words.is_empty() {
        let rows = rows_shown(model, list);
        parts.push(format!(
            "only \"{}\": {}",
            sieve.words,
            count(rows, "row", "rows")
        ));
    }
    if sieve.by > 0 || sieve.turned {
        let order = list.orders().get(sieve.by).copied().unwrap_or_default();
        let turned = if sieve.turned { ", turned round" } else { "" };
        parts.push(format!("{order}{turned}"));
    }
    parts.join(" · ")
}

/// What a list says that is empty because of its words.
pub fn nothing(model: &Model) -> Option<String> {
    let list = list_of(model)?;
    let words = model.sieves.of(list).words;
    (!words.is_empty()).then(|| format!("Nothing here has \"{words}\"."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arranged(sieve: &Sieve, rows: &[(&'static str, Option<f64>)]) -> Vec<&'static str> {
        let mut rows = rows.to_vec();
        arrange(
            sieve,
            &mut rows,
            |row| row.0.to_owned(),
            |row, by| match by {
                1 => By::words(row.0),
                _ => By::figure(row.1),
            },
        );
        rows.into_iter().map(|row| row.0).collect()
    }

    const ROWS: [(&str, Option<f64>); 4] = [
        ("W10", Some(2.5)),
        ("W2", None),
        ("W1", Some(0.5)),
        ("w3", Some(2.5)),
    ];

    #[test]
    fn an_order_is_the_one_people_expect_and_what_has_nothing_comes_last_either_way() {
        let by = |by, turned| Sieve {
            by,
            turned,
            words: String::new(),
        };
        assert_eq!(arranged(&by(0, false), &ROWS), ["W10", "W2", "W1", "w3"]);
        assert_eq!(arranged(&by(0, true), &ROWS), ["w3", "W1", "W2", "W10"]);
        assert_eq!(arranged(&by(1, false), &ROWS), ["W1", "W2", "w3", "W10"]);
        assert_eq!(arranged(&by(2, false), &ROWS), ["W1", "W10", "w3", "W2"]);
        assert_eq!(arranged(&by(2, true), &ROWS), ["W10", "w3", "W1", "W2"]);
    }

    #[test]
    fn words_begin_words_and_numbers_are_whole() {
        assert!(has("W44 GN/BU 0.5 mm² MC-A16", "gn 0.5"));
        assert!(has("W44 GN/BU 0.5 mm² MC-A16", "bu mc-a"));
        assert!(has("W44 GN/BU 0.5 mm² MC-A16", "a16"));
        assert!(!has("W44 GN/BU 0.75 mm²", "0.7"));
        assert!(!has("W44 GN/BU 0.75 mm²", "bu rd"));
    }

    #[test]
    fn every_list_has_a_name_of_its_own() {
        let mut lists = vec![
            List::Findings,
            List::Sources,
            List::Build,
            List::FarEnds,
            List::Volts,
            List::Written,
            List::Tests,
            List::Settings,
            List::Trials,
            List::Log,
        ];
        lists.extend(parts::KINDS.iter().map(|kind| List::Parts(*kind)));
        let names: std::collections::BTreeSet<&str> = lists.iter().map(|list| list.name()).collect();
        assert_eq!(names.len(), lists.len());
        assert!(lists.iter().all(|list| !list.orders().is_empty()));
    }
}
