//! Sizes that are sold for vehicles, with what the trade commonly lets them carry. The latter is shown as a note
//! beside the computed figures and decides nothing.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};

/// One size that can be bought.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeRow {
    /// Area in mm².
    pub size_mm2: f64,
    /// Usual continuous current in A of a single wire up to 40 °C. None: the table has none.
    pub usual_current_a: Option<f64>,
    /// Usual largest fuse in A. None: the table has none.
    pub usual_fuse_a: Option<f64>,
    /// Where it comes from.
    pub source: Source,
}

static SIZES: Embedded<SizeRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/standard_sizes.csv");
    read("standard_sizes.csv", text, |r: &Row<'_>| {
        Ok(SizeRow {
            size_mm2: r.number("size_mm2")?,
            usual_current_a: r.number_or_empty("usual_current_a")?,
            usual_fuse_a: r.number_or_empty("usual_fuse_a")?,
            source: r.source()?,
        })
    })
});

/// The standard sizes, thinnest first.
pub fn standard_sizes() -> &'static [SizeRow] {
    rows(&SIZES)
}

/// The standard sizes above this area, thinnest first.
pub fn standard_sizes_above(area_mm2: f64) -> impl Iterator<Item = &'static SizeRow> {
    standard_sizes()
        .iter()
        .filter(move |r| r.size_mm2 > area_mm2 + 1e-9)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    SIZES.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_standard_size_is_thicker() {
        let next = |area| standard_sizes_above(area).next().map(|r| r.size_mm2);
        assert_eq!(next(0.35), Some(0.5));
        assert_eq!(next(1.31), Some(1.5));
        assert_eq!(next(50.0), None);
    }
}
