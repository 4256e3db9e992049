//! Constant current down to a least voltage, then a resistor.

use super::Flow;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CurrentLoad {
    pub(crate) current_a: f64,
    pub(crate) least_v: f64,
}

impl CurrentLoad {
    pub(super) fn flow(&self, u: f64) -> Flow {
        if u >= self.least_v {
            Flow::new(self.current_a, 0.0)
        } else {
            let slope_s = self.current_a / self.least_v;
            Flow::new(slope_s * u, slope_s)
        }
    }
}
