//! Constant power down to a least voltage, then a resistor.
//!
//! At work its current falls as the voltage rises, so that one circuit can have two operating points.
//! Whether it works is therefore not read from the voltage but decided by the search, from switch-on.

use super::{Flow, LEAK_S};

/// What a power load does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Work {
    /// Not started yet: draws nothing.
    Waiting,
    /// Draws its power while it has its least voltage.
    #[default]
    Running,
    /// Has dropped out and stays so.
    DroppedOut,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PowerLoad {
    pub(crate) power_w: f64,
    pub(crate) least_v: f64,
}

impl PowerLoad {
    pub(super) fn flow(&self, u: f64, work: Work) -> Flow {
        match work {
            Work::Waiting => Flow::new(LEAK_S * u, LEAK_S),
            Work::Running if u >= self.least_v => {
                let current_a = self.power_w / u;
                Flow::new(current_a, -current_a / u)
            }
            Work::Running | Work::DroppedOut => {
                let slope_s = self.power_w / (self.least_v * self.least_v);
                Flow::new(slope_s * u, slope_s)
            }
        }
    }
}
