//! Colour letters that are not those of IEC 60757 but are met on vehicle diagrams, and every colour they may stand for.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// Letters and what they may mean.
#[derive(Debug, Clone, PartialEq)]
pub struct LettersRow {
    /// The letters, such as `BL`.
    pub letters: Cow<'static, str>,
    /// Words of the colours they may stand for, with spaces between (`black blue`).
    pub may_be: Cow<'static, str>,
    /// Where that comes from.
    pub source: Source,
}

static LETTERS: Embedded<LettersRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/colour_letters.csv");
    read("colour_letters.csv", text, |r: &Row<'_>| {
        Ok(LettersRow {
            letters: r.text("letters")?,
            may_be: r.text("may_be")?,
            source: r.source()?,
        })
    })
});

/// All letters that are known.
pub fn colour_letters() -> &'static [LettersRow] {
    rows(&LETTERS)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    LETTERS.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Colour;
    use std::collections::HashSet;

    #[test]
    fn letters_stand_once_name_colours_and_are_none_of_the_standards() {
        let mut seen = HashSet::new();
        for row in colour_letters() {
            assert!(seen.insert(row.letters.clone()), "{} twice", row.letters);
            assert_eq!(
                Colour::find(&row.letters),
                None,
                "{} has a meaning of its own",
                row.letters
            );
            for word in row.may_be.split(' ') {
                assert!(Colour::find(word).is_some(), "{}: {word}", row.letters);
            }
        }
        assert!(colour_letters().iter().any(|r| r.may_be.contains(' ')));
    }
}
