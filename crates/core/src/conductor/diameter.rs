use crate::quantity::Size;
use crate::tables::conductors::{ConductorRow, iso6722, row_of};
use crate::tables::{HowKnown, Source};

/// Share of the circle around a strand bundle that is copper (common practice, no source).
const FILL: f64 = 0.75;
/// Least outside diameter over the largest, where the trade gives no least one (from the sizes that have both).
const LEAST_OVER_MOST: f64 = 0.88;

/// Outside diameter of a wire, and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct OutsideDiameter {
    /// In mm.
    pub outside_diameter_mm: f64,
    /// The table, and what was done with it.
    pub source: Source,
}

/// Diameter in mm of the strand bundle of this area.
pub fn conductor_diameter_mm(area_mm2: f64) -> f64 {
    (4.0 * area_mm2 / std::f64::consts::PI / FILL).sqrt()
}

/// The least outside diameter of a thin-wall wire of this size: the thinner, the less heat it gives off, so the warmer
/// it runs. Sizes in no table are interpolated over the square root of the area.
pub fn least_outside_diameter(size: &Size) -> OutsideDiameter {
    let area_mm2 = size.area_mm2();
    if let Some((mm, given)) = row_of(iso6722(), area_mm2).and_then(least_of) {
        let (text, how_known) = if given {
            (
                "least outside diameter met in the trade for thin-wall wire",
                HowKnown::CommonPractice,
            )
        } else {
            (
                "0.88 × the largest outside diameter of ISO 6722 thin wall",
                HowKnown::Memory,
            )
        };
        return OutsideDiameter {
            outside_diameter_mm: mm,
            source: Source::fixed(text, how_known),
        };
    }
    let known: Vec<(f64, f64)> = iso6722()
        .iter()
        .filter_map(|r| Some((r.size_mm2.sqrt(), least_of(r)?.0)))
        .collect();
    let text = "least outside diameters of ISO 6722 thin wall, interpolated";
    OutsideDiameter {
        outside_diameter_mm: interpolate(&known, area_mm2.sqrt()),
        source: Source::fixed(text, HowKnown::Memory),
    }
}

fn least_of(row: &ConductorRow) -> Option<(f64, bool)> {
    match (row.outside_diameter_least_mm, row.outside_diameter_most_mm) {
        (Some(least), _) => Some((least, true)),
        (None, Some(most)) => Some((most * LEAST_OVER_MOST, false)),
        (None, None) => None,
    }
}

/// Straight between neighbours; beyond the ends in proportion.
fn interpolate(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.partition_point(|p| p.0 < x);
    match (
        after.checked_sub(1).and_then(|i| points.get(i)),
        points.get(after),
    ) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (Some((x0, y0)), None) | (None, Some((x0, y0))) => y0 * x / x0,
        (None, None) => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn least(size: &str) -> f64 {
        least_outside_diameter(&size.parse().unwrap()).outside_diameter_mm
    }

    #[test]
    fn the_diameter_grows_with_the_size_and_holds_the_conductor() {
        let sizes: Vec<Size> = (0..400)
            .filter_map(|i| Size::metric(0.05 * 1.025_f64.powi(i)))
            .collect();
        let mut last = 0.0;
        for size in &sizes {
            let outside = least_outside_diameter(size).outside_diameter_mm;
            assert!(outside > last * 0.985, "{size}: {outside} after {last}");
            assert!(
                outside > conductor_diameter_mm(size.area_mm2()) * 1.05,
                "{size}: {outside}"
            );
            last = outside;
        }
    }

    #[test]
    fn a_gauge_lies_between_its_metric_neighbours() {
        assert_eq!(least("1.5"), 2.2);
        assert!(least("AWG 16") < least("1.5") && least("AWG 16") > least("1"));
    }
}
