//! Terminal numbers of DIN 72552: what a place on a switch, relay or unit is for.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// A terminal number.
#[derive(Debug, Clone, PartialEq)]
pub struct TerminalRow {
    /// The number, such as `15` or `87a`.
    pub number: Cow<'static, str>,
    /// What it means.
    pub meaning: Cow<'static, str>,
    /// Where that comes from.
    pub source: Source,
}

static TERMINALS: Embedded<TerminalRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/terminal_numbers.csv");
    read("terminal_numbers.csv", text, |r: &Row<'_>| {
        Ok(TerminalRow {
            number: r.text("number")?,
            meaning: r.text("meaning")?,
            source: r.source()?,
        })
    })
});

/// All numbers that are known.
pub fn terminals() -> &'static [TerminalRow] {
    rows(&TERMINALS)
}

/// The number written so, capitals or not; a number that differs from another by its capital alone does not exist.
pub fn terminal(number: &str) -> Option<&'static TerminalRow> {
    let number = number.trim();
    terminals()
        .iter()
        .find(|row| row.number.eq_ignore_ascii_case(number))
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    TERMINALS.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::HowKnown;
    use std::collections::HashSet;

    #[test]
    fn each_number_stands_once_and_means_something() {
        let mut seen = HashSet::new();
        for row in terminals() {
            assert!(seen.insert(row.number.to_lowercase()), "{} twice", row.number);
            assert!(!row.meaning.is_empty(), "{}", row.number);
        }
    }

    /// What a relay's socket is marked with was not looked up: it must say so.
    #[test]
    fn a_relays_numbers_are_from_memory_and_the_supply_numbers_were_read() {
        for number in ["85", "86", "87", "87A", "87b"] {
            assert_eq!(
                terminal(number).unwrap().source.how_known,
                HowKnown::Memory,
                "{number}"
            );
        }
        for number in ["15", "30", "31"] {
            assert_eq!(
                terminal(number).unwrap().source.how_known,
                HowKnown::Read,
                "{number}"
            );
        }
        assert_eq!(terminal("99"), None);
    }
}
