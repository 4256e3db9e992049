//! A source with a limit that takes nothing back.

use super::Flow;

/// What a limited source that is held above its own voltage is to the one that holds it, for its inner
/// divider: our own assumption.
pub const REVERSE_OHMS: f64 = 1e6;
/// Above its own voltage by less, a source is unloaded rather than blocked, volts.
const UNLOADED_V: f64 = 1e-6;

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
            Flow::new((self.emf_v + u) / REVERSE_OHMS, 1.0 / REVERSE_OHMS)
        } else if current_a > self.limit_a {
            Flow::new(self.limit_a, 0.0)
        } else {
            Flow::new(current_a, 1.0 / self.ohms)
        }
    }

    /// Whether another source holds it above its own voltage.
    pub(crate) fn is_blocked(&self, u: f64) -> bool {
        self.emf_v + u < -UNLOADED_V
    }

    /// Whether it gives its greatest current.
    pub(crate) fn is_limited(&self, u: f64) -> bool {
        self.emf_v + u > self.limit_a * self.ohms
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
