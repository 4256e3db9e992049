/// Demand after shaping: travel to the power of an exponent. 1 is straight; 1.3 to 2 is usual for a soft tip-in
/// (common practice, no source).
pub fn shaped(travel: f64, exponent: f64) -> f64 {
    travel.clamp(0.0, 1.0).powf(exponent)
}

/// The exponent with which the curve goes through a point; none where no curve does.
pub fn exponent_through(travel: f64, demand: f64) -> Option<f64> {
    let inside = |share: f64| share > 0.0 && share < 1.0;
    (inside(travel) && inside(demand)).then(|| demand.ln() / travel.ln())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// By hand: half the travel squared is a quarter; to the power of 1.5 it is 35.4 %.
    #[test]
    fn half_the_travel() {
        assert!((shaped(0.5, 2.0) - 0.25).abs() < 1e-12);
        assert!((shaped(0.5, 1.5) - 0.353_553).abs() < 1e-6);
        assert_eq!((shaped(-0.1, 1.5), shaped(1.1, 1.5)), (0.0, 1.0));
        assert_eq!(exponent_through(0.5, 0.25), Some(2.0));
        assert_eq!(exponent_through(1.0, 0.5), None);
        assert_eq!(exponent_through(0.5, 0.0), None);
    }

    proptest! {
        #[test]
        fn the_curve_goes_through_its_point(travel in 0.05..0.95_f64, demand in 0.05..0.95_f64) {
            let exponent = exponent_through(travel, demand).unwrap();
            prop_assert!((shaped(travel, exponent) - demand).abs() < 1e-9);
        }
    }
}
