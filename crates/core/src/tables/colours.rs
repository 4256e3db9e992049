//! IEC 60757 colour letters and the words for them.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// One colour.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourRow {
    /// Two letters, such as `GN`.
    pub code: Cow<'static, str>,
    /// The word, such as `green`.
    pub word: Cow<'static, str>,
    /// Another spelling or word that is understood; empty if there is none.
    pub also: Cow<'static, str>,
    /// Where the letters come from.
    pub source: Source,
}

static COLOURS: Embedded<ColourRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/colours.csv");
    read("colours.csv", text, |r: &Row<'_>| {
        Ok(ColourRow {
            code: r.text("code")?,
            word: r.text("word")?,
            also: r.text("also")?,
            source: r.source()?,
        })
    })
});

/// The colours in the order of the standard's table.
pub fn colours() -> &'static [ColourRow] {
    rows(&COLOURS)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    COLOURS.as_ref().err().cloned()
}
