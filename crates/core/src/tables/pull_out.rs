//! Least force at which a crimp may let go of its wire in a destructive test.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use crate::quantity::Size;
use std::borrow::Cow;

/// The least pull-out force for one size.
#[derive(Debug, Clone, PartialEq)]
pub struct PullOutRow {
    /// Area in mm².
    pub area_mm2: f64,
    /// `commercial`, `military`, or empty where the table knows one demand only.
    pub demand: Cow<'static, str>,
    /// Least force in N.
    pub force_n: f64,
    /// Where it comes from.
    pub source: Source,
}

static AWG: Embedded<PullOutRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/pull_out_awg.csv");
    read("pull_out_awg.csv", text, |r: &Row<'_>| {
        let size: Size = format!("AWG {}", r.text("awg")?)
            .parse()
            .map_err(|e| format!("{e}"))?;
        Ok(PullOutRow {
            area_mm2: size.area_mm2(),
            demand: r.text("demand")?,
            force_n: r.number("force_n")?,
            source: r.source()?,
        })
    })
});

static METRIC: Embedded<PullOutRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/pull_out_mm2.csv");
    read("pull_out_mm2.csv", text, |r: &Row<'_>| {
        Ok(PullOutRow {
            area_mm2: r.number("size_mm2")?,
            demand: Cow::Borrowed(""),
            force_n: r.number("force_n")?,
            source: r.source()?,
        })
    })
});

/// The table by gauge: commercial rows first, thinnest first, then military ones.
pub fn pull_out_awg() -> &'static [PullOutRow] {
    rows(&AWG)
}

/// The table by mm², thinnest first. From memory.
pub fn pull_out_mm2() -> &'static [PullOutRow] {
    rows(&METRIC)
}

/// The demand on a crimp on this size: the row of the size itself or of the next thinner one, in the table of the
/// size's own system; by the commercial demand for gauges. None: thinner than the table.
pub fn pull_out(size: &Size) -> Option<&'static PullOutRow> {
    let table = match size {
        Size::Metric { .. } => pull_out_mm2(),
        Size::Awg(_) | Size::Sae(_) => pull_out_awg(),
    };
    let area_mm2 = size.area_mm2();
    let at_most = table
        .iter()
        .filter(|r| r.demand != "military" && r.area_mm2 <= area_mm2 * (1.0 + 1e-9));
    at_most.max_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    AWG.as_ref().err().or(METRIC.as_ref().err()).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// UL 486A as reprinted; IEC 60352-2 from memory.
    #[test]
    fn the_row_of_the_size_or_the_next_thinner_one_is_taken() {
        let force = |s: &str| pull_out(&s.parse().unwrap()).map(|r| r.force_n);
        assert_eq!(force("AWG 16"), Some(133.5));
        assert_eq!(force("AWG 17"), Some(89.0), "as AWG 18");
        assert_eq!(force("0.5"), Some(60.0));
        assert_eq!(force("0.35"), Some(40.0), "as 0.32 mm²");
        assert_eq!(force("AWG 36"), None);
    }
}
