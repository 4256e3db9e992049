//! SAE gauges: the areas are below those of the AWG sizes of the same number.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// Square millimetres in one circular mil: the area of a circle of a thousandth of an inch.
pub const MM2_PER_CIRCULAR_MIL: f64 = 5.067_074_790_974_977e-4;

/// One SAE gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct SaeRow {
    /// The number of the gauge as written, such as `16` or `2/0`.
    pub gauge: Cow<'static, str>,
    /// Least area in circular mils.
    pub circular_mils: f64,
    /// Where the area comes from.
    pub source: Source,
}

static SAE: Embedded<SaeRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/gauges_sae.csv");
    read("gauges_sae.csv", text, |r: &Row<'_>| {
        Ok(SaeRow {
            gauge: r.text("gauge")?,
            circular_mils: r.number("circular_mils")?,
            source: r.source()?,
        })
    })
});

/// The SAE gauges, thinnest first.
pub fn sae() -> &'static [SaeRow] {
    rows(&SAE)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    SAE.as_ref().err().cloned()
}
