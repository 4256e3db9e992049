//! Which kind of source may drive which kind of input.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

/// What comes of a source on an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Right as it is, if the levels are.
    Direct,
    /// Right with something between.
    Needs,
    /// Wrong.
    Wrong,
}

/// One pair.
#[derive(Debug, Clone, PartialEq)]
pub struct CompatRow {
    /// The source, in words.
    pub gives: Cow<'static, str>,
    /// The input, in words.
    pub takes: Cow<'static, str>,
    /// What comes of it.
    pub fit: Fit,
    /// What is needed, or why it is wrong; empty where it is right.
    pub what: Cow<'static, str>,
    /// Where it comes from.
    pub source: Source,
}

static COMPAT: Embedded<CompatRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/source_to_sink.csv");
    read("source_to_sink.csv", text, |r: &Row<'_>| {
        let fit = match r.text("verdict")?.as_ref() {
            "direct" => Fit::Direct,
            "needs" => Fit::Needs,
            "wrong" => Fit::Wrong,
            other => return Err(format!("`{other}` is not direct, needs or wrong.")),
        };
        Ok(CompatRow {
            gives: r.text("gives")?,
            takes: r.text("takes")?,
            fit,
            what: r.text("what")?,
            source: r.source()?,
        })
    })
});

/// All pairs.
pub fn pairs() -> &'static [CompatRow] {
    rows(&COMPAT)
}

/// The pair of these words; none: the table says nothing of it.
pub fn pair(gives: &str, takes: &str) -> Option<&'static CompatRow> {
    static BY_WORDS: OnceLock<HashMap<(&'static str, &'static str), &'static CompatRow>> = OnceLock::new();
    let by_words = BY_WORDS.get_or_init(|| {
        pairs()
            .iter()
            .map(|r| ((r.gives.as_ref(), r.takes.as_ref()), r))
            .collect()
    });
    by_words.get(&(gives, takes)).copied()
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    COMPAT.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pair_stands_once_and_says_why_it_is_not_direct() {
        let mut seen = std::collections::HashSet::new();
        for row in pairs() {
            assert!(
                seen.insert((row.gives.as_ref(), row.takes.as_ref())),
                "{row:?} is there twice"
            );
            assert_eq!(row.fit == Fit::Direct, row.what.is_empty(), "{row:?}");
        }
        let fit = |gives, takes| pair(gives, takes).map(|r| r.fit);
        assert_eq!(
            fit("open-collector output", "digital input, active at ground"),
            Some(Fit::Direct)
        );
        assert_eq!(fit("high-side output", "analogue input"), Some(Fit::Wrong));
        assert_eq!(
            fit("low-side output", "digital input, active at supply"),
            Some(Fit::Needs)
        );
        assert_eq!(fit("CAN H", "a kettle"), None);
    }
}
