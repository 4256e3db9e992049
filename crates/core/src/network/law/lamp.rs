//! A filament whose resistance grows with the voltage.

use super::Flow;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lamp {
    /// Cold resistance squared.
    cold: f64,
    /// Growth of the resistance squared with each volt.
    growth: f64,
}

impl Lamp {
    pub(super) fn new(cold_ohms: f64, hot_ohms: f64, rated_v: f64) -> Self {
        let cold = cold_ohms * cold_ohms;
        Self {
            cold,
            growth: (hot_ohms * hot_ohms - cold) / rated_v,
        }
    }

    pub(super) fn flow(&self, u: f64) -> Flow {
        let square = self.cold + self.growth * u.abs();
        let ohms = square.sqrt();
        Flow::new(
            u / ohms,
            (self.cold + 0.5 * self.growth * u.abs()) / (square * ohms),
        )
    }

    /// Through zero only by way of zero, where the curve is steepest.
    pub(super) fn next_tangent(new: f64, old: f64) -> f64 {
        if new * old < 0.0 { 0.0 } else { new }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn right_cold_and_hot_and_its_slope_is_its_slope() {
        let lamp = Lamp::new(0.5, 6.0, 12.0);
        assert!((lamp.flow(12.0).current_a - 2.0).abs() < 1e-12);
        assert!((lamp.flow(1e-9).current_a - 2e-9).abs() < 1e-15);
        for u in [-9.0, -0.1, 0.2, 5.0, 14.0] {
            let (before, after) = (lamp.flow(u - 1e-6), lamp.flow(u + 1e-6));
            let slope = (after.current_a - before.current_a) / 2e-6;
            assert!((slope - lamp.flow(u).slope_s).abs() < 1e-6 * slope);
        }
    }
}
