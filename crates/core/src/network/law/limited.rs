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
}
