//! How common each kind of fault is before anything was seen.

use crate::analysis::suppose::{Failing, Touch};

/// To be said wherever the order of suspects is shown.
pub const PRIOR_WORDS: &str = "Beforehand a fuse or a wire off counts as the most common, then a plug or a ground, a \
                               contact, a chafed wire (our own order from common practice, no source).";

/// How common a fault is beside others; only their ratios count. Common practice, no source.
pub fn prior(failing: Failing) -> f64 {
    match failing {
        Failing::Fuse(_) | Failing::Wire(_, Touch::Off) => 3.0,
        Failing::Plug(_) | Failing::Path(_) => 2.0,
        Failing::Contact { .. } => 1.5,
        Failing::Wire(_, Touch::Chassis) => 1.0,
        Failing::Wire(_, Touch::Supply) => 0.5,
    }
}
