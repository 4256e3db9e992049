use super::add_sources;
use crate::tables::Source;
use crate::tables::fuses::{FuseKind, gates};

/// What the standard promises at one multiple of the rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// Current ÷ rating.
    pub multiple: f64,
    /// It opens not before, in s.
    pub shortest_s: f64,
    /// It opens not after, in s. None: no opening is promised.
    pub longest_s: Option<f64>,
}

/// Shortest and longest operating time over the multiple of the rating: straight in log–log between the gates,
/// constant I²t beyond the last one.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    shortest: Vec<(f64, f64)>,
    longest: Vec<(f64, f64)>,
    basis: Vec<Source>,
}

impl Band {
    /// The band of a kind, from the table of its standard's gates.
    pub fn of(kind: FuseKind) -> Self {
        let rows = gates(kind);
        let gates: Vec<Gate> = rows
            .map(|r| Gate {
                multiple: r.percent / 100.0,
                shortest_s: r.shortest_s,
                longest_s: r.longest_s,
            })
            .collect();
        let mut basis = Vec::new();
        for row in crate::tables::fuses::gates(kind) {
            add_sources(&mut basis, std::slice::from_ref(&row.source));
        }
        Self::build(&gates, basis)
    }

    /// A band from a data sheet. None: a figure is not above nought, multiples or times do not run in order, a gate's
    /// times are the wrong way round, or no gate promises an opening.
    pub fn from_gates(gates: &[Gate], source: Source) -> Option<Self> {
        let positive = |f: f64| f.is_finite() && f > 0.0;
        let sound = gates.iter().all(|g| {
            positive(g.multiple)
                && positive(g.shortest_s)
                && g.longest_s.is_none_or(|l| positive(l) && l >= g.shortest_s)
        });
        let band = Self::build(gates, vec![source]);
        let in_order = |edge: &[(f64, f64)]| {
            edge.iter()
                .zip(edge.iter().skip(1))
                .all(|(a, b)| a.0 < b.0 && a.1 >= b.1)
        };
        let whole = !band.longest.is_empty() && in_order(&band.shortest) && in_order(&band.longest);
        (sound && whole).then_some(band)
    }

    fn build(gates: &[Gate], basis: Vec<Source>) -> Self {
        Self {
            shortest: gates.iter().map(|g| (g.multiple, g.shortest_s)).collect(),
            longest: gates
                .iter()
                .filter_map(|g| Some((g.multiple, g.longest_s?)))
                .collect(),
            basis,
        }
    }

    /// Seconds for which it certainly carries this multiple of its rating; infinite below the first gate.
    pub fn shortest_s(&self, multiple: f64) -> f64 {
        along(&self.shortest, multiple)
    }

    /// Seconds after which it has certainly opened; infinite below the first gate that promises an opening.
    pub fn longest_s(&self, multiple: f64) -> f64 {
        along(&self.longest, multiple)
    }

    /// The multiple from which on an opening is promised: 1.35 for vehicle fuses.
    pub fn opens_from(&self) -> f64 {
        self.longest.first().map_or(f64::INFINITY, |g| g.0)
    }

    /// The multiple up to which the fuse is promised to carry current for hours.
    pub fn carries_to(&self) -> f64 {
        self.shortest.first().map_or(0.0, |g| g.0)
    }

    /// Least (I ÷ rating)²·t along the lower edge, in s: × rating² it is a melting I²t that no fuse of the kind is
    /// below.
    pub fn least_melting(&self) -> f64 {
        self.shortest
            .iter()
            .map(|(m, t)| m * m * t)
            .fold(f64::INFINITY, f64::min)
    }

    /// Multiples at which an edge has a corner, by growing current.
    pub fn corners(&self) -> Vec<f64> {
        let mut corners: Vec<f64> = self.shortest.iter().chain(&self.longest).map(|g| g.0).collect();
        corners.sort_by(f64::total_cmp);
        corners.dedup();
        corners
    }

    /// What the band rests on.
    pub fn basis(&self) -> &[Source] {
        &self.basis
    }
}

/// Time on an edge: straight in log–log between its points.
fn along(edge: &[(f64, f64)], multiple: f64) -> f64 {
    let after = edge.partition_point(|g| g.0 <= multiple);
    let Some((m0, t0)) = after.checked_sub(1).and_then(|i| edge.get(i)) else {
        return f64::INFINITY;
    };
    match edge.get(after) {
        Some((m1, t1)) => {
            let share = (multiple / m0).ln() / (m1 / m0).ln();
            t0 * (t1 / t0).powf(share)
        }
        None => t0 * (m0 / multiple).powi(2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::HowKnown;
    use proptest::prelude::*;

    /// The gates of a blade fuse (from memory, ISO 8820-3 type C) and what follows between and beyond them.
    #[test]
    fn the_band_runs_through_its_gates() {
        let band = Band::of(FuseKind::Blade);
        assert_eq!(band.longest_s(1.34), f64::INFINITY);
        assert_eq!(band.longest_s(1.35), 600.0);
        assert!((band.longest_s(2.0) - 5.0).abs() < 1e-12);
        assert!((band.shortest_s(6.0) - 0.02).abs() < 1e-12);
        assert_eq!(band.shortest_s(1.09), f64::INFINITY);
        assert_eq!(band.opens_from(), 1.35);
        // Half way between 350 % and 600 % in the logarithm: √(0.5·0.1).
        let half = (3.5_f64 * 6.0).sqrt();
        assert!((band.longest_s(half) - (0.05_f64).sqrt()).abs() < 1e-9);
        // Constant I²t: at twice the last multiple a quarter of the time.
        assert!((band.longest_s(12.0) - 0.025).abs() < 1e-12);
        assert!(band.basis()[0].how_known.is_from_memory());
    }

    /// 3.5²·0.04 = 0.49 is the least of 1.35²·0.75, 1.6²·0.25, 2²·0.15, 3.5²·0.04 and 6²·0.02.
    #[test]
    fn the_least_melting_figure_is_that_of_the_lower_edge() {
        assert!((Band::of(FuseKind::Blade).least_melting() - 0.49).abs() < 1e-9);
    }

    #[test]
    fn a_data_sheet_that_makes_no_sense_is_refused() {
        let sheet = || Source::fixed("data sheet", HowKnown::DataSheet);
        let gate = |multiple, shortest_s, longest_s| Gate {
            multiple,
            shortest_s,
            longest_s,
        };
        assert!(Band::from_gates(&[gate(1.1, 100.0, None), gate(2.0, 1.0, Some(5.0))], sheet()).is_some());
        assert!(Band::from_gates(&[], sheet()).is_none());
        assert!(Band::from_gates(&[gate(1.1, 100.0, None)], sheet()).is_none());
        assert!(Band::from_gates(&[gate(2.0, 5.0, Some(1.0))], sheet()).is_none());
        assert!(Band::from_gates(&[gate(2.0, 1.0, Some(5.0)), gate(1.5, 2.0, Some(9.0))], sheet()).is_none());
        assert!(Band::from_gates(&[gate(2.0, f64::NAN, Some(5.0))], sheet()).is_none());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn times_fall_and_the_edges_keep_their_order(multiple in 0.5_f64..60.0, more in 1.0001_f64..4.0) {
            for kind in FuseKind::ALL {
                let band = Band::of(kind);
                prop_assert!(band.shortest_s(multiple) <= band.longest_s(multiple));
                prop_assert!(band.longest_s(multiple * more) <= band.longest_s(multiple));
                prop_assert!(band.shortest_s(multiple * more) <= band.shortest_s(multiple));
            }
        }
    }
}
