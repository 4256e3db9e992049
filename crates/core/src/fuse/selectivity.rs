use super::add_sources;
use super::fuse_in_hand::Fuse;
use crate::tables::Source;

/// Whether the lower of two fuses opens alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Selectivity {
    /// The lower fuse opens alone up to this current in A. None: up to the fault current asked for.
    pub up_to_a: Option<f64>,
    /// The fault current at the lower fuse, in A.
    pub fault_a: f64,
    /// What it rests on.
    pub basis: Vec<Source>,
}

impl Selectivity {
    /// Up to the fault current.
    pub fn holds(&self) -> bool {
        self.up_to_a.is_none()
    }
}

/// Holds the upper fuse's shortest melting time against the lower one's longest operating time, at every current up to
/// the fault current at the lower fuse.
pub fn selectivity(upper: &Fuse, lower: &Fuse, fault_a: f64) -> Selectivity {
    let mut basis = upper.band.basis().to_vec();
    add_sources(&mut basis, lower.band.basis());

    // Between corners both edges are straight in log–log, so that only the ends of each stretch need a look.
    let corners = |f: &Fuse| {
        f.band
            .corners()
            .into_iter()
            .map(|m| m * f.rating_a)
            .collect::<Vec<f64>>()
    };
    let mut ends: Vec<f64> = [corners(upper), corners(lower)].concat();
    ends.retain(|a| *a < fault_a);
    ends.push(fault_a);
    ends.sort_by(f64::total_cmp);

    let up_to_a = ends.iter().zip(ends.iter().skip(1)).find_map(|(from_a, to_a)| {
        let spare = |current_a: f64| spare(upper, lower, current_a);
        // Just inside: an edge may jump at its first gate.
        let (first, last) = (spare(from_a * (1.0 + 1e-9)), spare(to_a * (1.0 - 1e-9)));
        if first <= 0.0 {
            Some(*from_a)
        } else if last <= 0.0 && first.is_finite() && last.is_finite() {
            Some(from_a * (to_a / from_a).powf(first / (first - last)))
        } else {
            None
        }
    });
    Selectivity {
        up_to_a,
        fault_a,
        basis,
    }
}

/// Logarithm of upper's shortest over lower's longest time; above nought is selective.
fn spare(upper: &Fuse, lower: &Fuse, current_a: f64) -> f64 {
    let (shortest_s, longest_s) = (upper.shortest_s(current_a), lower.longest_s(current_a));
    if shortest_s.is_infinite() {
        // The upper fuse is promised to carry this.
        f64::INFINITY
    } else if longest_s.is_infinite() {
        f64::NEG_INFINITY
    } else {
        (shortest_s / longest_s).ln()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::fuses::FuseKind;
    use proptest::prelude::*;

    fn fuse(kind: FuseKind, rating_a: f64) -> Fuse {
        Fuse::of(kind, rating_a, 25.0)
    }

    /// Beyond both last gates I²t decides: 0.02·36·60² against 0.1·36·5², by the gates from memory.
    #[test]
    fn a_much_larger_upper_fuse_is_selective_to_any_current() {
        let verdict = selectivity(
            &fuse(FuseKind::BoltIn, 60.0),
            &fuse(FuseKind::Blade, 15.0),
            1000.0,
        );
        assert!(verdict.holds(), "{verdict:?}");
        assert!(selectivity(&fuse(FuseKind::Blade, 30.0), &fuse(FuseKind::Blade, 5.0), 500.0).holds());
    }

    /// 10 A above 7.5 A: the upper fuse may open from 11 A on, while below 10.125 A the lower one need not.
    #[test]
    fn neighbouring_ratings_are_not() {
        let verdict = selectivity(&fuse(FuseKind::Blade, 10.0), &fuse(FuseKind::Blade, 7.5), 200.0);
        let up_to = verdict.up_to_a.unwrap();
        assert!(up_to > 11.0 && up_to < 13.0, "{up_to}");
        let same = selectivity(&fuse(FuseKind::Blade, 7.5), &fuse(FuseKind::Blade, 7.5), 200.0);
        assert!((same.up_to_a.unwrap() - 8.25).abs() < 1e-6, "{same:?}");
        let upside_down = selectivity(&fuse(FuseKind::Blade, 5.0), &fuse(FuseKind::Blade, 10.0), 200.0);
        assert!((upside_down.up_to_a.unwrap() - 5.5).abs() < 1e-6);
    }

    #[test]
    fn up_to_a_small_fault_current_more_pairs_are() {
        assert!(selectivity(&fuse(FuseKind::Blade, 10.0), &fuse(FuseKind::Blade, 7.5), 10.5).holds());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// The corners tell the whole: a fine sweep finds no current below the limit at which the order is wrong.
        #[test]
        fn a_sweep_over_currents_agrees(upper in 1.0_f64..100.0, lower in 1.0_f64..100.0, fault in 5.0_f64..2000.0) {
            for kind in [FuseKind::Blade, FuseKind::BoltIn] {
                let (upper, lower) = (fuse(kind, upper), fuse(FuseKind::Blade, lower));
                let verdict = selectivity(&upper, &lower, fault);
                let limit = verdict.up_to_a.unwrap_or(fault);
                let currents = (0..2000).map(|i| fault * (i as f64 + 0.5) / 2000.0);
                for current in currents {
                    let right = spare(&upper, &lower, current) > 0.0;
                    prop_assert!(right || current >= limit * (1.0 - 1e-6), "{current} A below {limit} A");
                }
                if let Some(limit) = verdict.up_to_a {
                    prop_assert!(spare(&upper, &lower, limit * (1.0 + 1e-6)) <= 1e-3);
                }
            }
        }
    }
}
