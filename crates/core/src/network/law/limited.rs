//! A source with a limit that takes nothing back.

use super::Flow;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limited {
    pub(crate) emf_v: f64,
    pub(crate) ohms: f64,
    pub(crate) limit_a: f64,
}

impl Limited {
    /// `u` is minus less plus, as everywhere first terminal less second.
    pub(super) fn flow(&self, u: f64) -> Flow {
        let current_a = (self.emf_v + u) / self.ohms;
        if current_a < 0.0 {
            Flow::default()
        } else if current_a > self.limit_a {
            Flow::new(self.limit_a, 0.0)
        } else {
            Flow::new(current_a, 1.0 / self.ohms)
        }
    }

    /// From one flat part of the curve never straight to the other: first to the slope between.
    pub(super) fn next_tangent(&self, new: f64, old: f64) -> f64 {
        let (least, most) = (-self.emf_v, self.limit_a * self.ohms - self.emf_v);
        if (old < least && new > most) || (old > most && new < least) {
            0.5 * (least + most)
        } else {
            new
        }
    }
}
