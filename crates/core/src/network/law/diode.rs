//! Shockley's law.

use super::{Flow, LEAK_S};

/// Above this current the exponential goes on as its tangent, so that no trial voltage overflows.
const STRAIGHT_A: f64 = 1e4;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Diode {
    pub(crate) saturation_a: f64,
    pub(crate) slope_v: f64,
    /// So many slopes up the tangent begins.
    straight: f64,
}

impl Diode {
    pub(super) fn new(saturation_a: f64, slope_v: f64) -> Self {
        Self {
            saturation_a,
            slope_v,
            straight: (STRAIGHT_A / saturation_a).ln().max(1.0),
        }
    }

    pub(super) fn flow(&self, u: f64) -> Flow {
        let at = u / self.slope_v;
        let power = at.min(self.straight).exp();
        let slope_s = self.saturation_a * power / self.slope_v;
        let beyond = (u - self.straight * self.slope_v).max(0.0) * slope_s;
        Flow::new(
            self.saturation_a * (power - 1.0) + beyond + LEAK_S * u,
            slope_s + LEAK_S,
        )
    }

    /// Forward, steps by the current that the last tangent gave instead of by the voltage: upwards the
    /// exponential would turn the voltage into far too much, downwards the tangent's foot is never more than
    /// one slope away.
    pub(super) fn next_tangent(&self, new: f64, old: f64) -> f64 {
        // Where the curve bends most.
        let knee = self.slope_v * (self.slope_v / (self.saturation_a * std::f64::consts::SQRT_2)).ln();
        let growth = 1.0 + (new - old) / self.slope_v;
        if new > old {
            if new <= knee {
                new
            } else if old <= 0.0 {
                knee
            } else {
                old + self.slope_v * growth.ln()
            }
        } else if old <= 0.0 || growth <= 0.0 {
            new
        } else {
            // Where the curve has the current that the tangent had at `new`; none is left below 0 V.
            let above = old + self.slope_v * growth.ln();
            if above >= 0.0 { above } else { new.min(0.0) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn its_slope_is_its_slope_and_no_voltage_overflows() {
        let diode = Diode::new(1e-9, 0.045);
        for u in [-20.0, -0.05, 0.0, 0.4, 0.9, 1.3, 1.5] {
            let (before, after) = (diode.flow(u - 1e-7), diode.flow(u + 1e-7));
            let slope = (after.current_a - before.current_a) / 2e-7;
            assert!(
                (slope - diode.flow(u).slope_s).abs() <= 1e-4 * slope + 1e-9,
                "{u}"
            );
        }
        assert!(diode.flow(1e6).current_a.is_finite());
        assert!((diode.flow(0.045 * (1e9f64 + 1.0).ln()).current_a - 1.0).abs() < 1e-9);
    }
}
