//! How much less a wire carries among other loaded wires.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};

/// One step of the bundle factor.
#[derive(Debug, Clone, PartialEq)]
pub struct BundleRow {
    /// From how many loaded wires on.
    pub loaded_from: f64,
    /// Factor on the current in free air.
    pub factor: f64,
    /// Where it comes from.
    pub source: Source,
}

static BUNDLE: Embedded<BundleRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/bundle_factors.csv");
    read("bundle_factors.csv", text, |r: &Row<'_>| {
        Ok(BundleRow {
            loaded_from: r.number("loaded_from")?,
            factor: r.number("factor")?,
            source: r.source()?,
        })
    })
});

/// The steps, fewest wires first.
pub fn bundle_factors() -> &'static [BundleRow] {
    rows(&BUNDLE)
}

/// The step for so many wires loaded at the same time (above 20 % of their free-air current). None: no table.
pub fn bundle_factor(loaded_wires: usize) -> Option<&'static BundleRow> {
    bundle_factors()
        .iter()
        .rev()
        .find(|r| loaded_wires as f64 >= r.loaded_from)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    BUNDLE.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The steps as the trade uses them (common practice, no source).
    #[test]
    fn steps_hold_at_their_edges() {
        let factor = |n| bundle_factor(n).unwrap().factor;
        let at: Vec<f64> = [0, 1, 3, 4, 7, 8, 19, 20, 39, 40, 500]
            .into_iter()
            .map(factor)
            .collect();
        assert_eq!(at, [1.0, 1.0, 1.0, 0.8, 0.8, 0.7, 0.7, 0.5, 0.5, 0.4, 0.4]);
    }
}
