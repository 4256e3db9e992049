//! The law of each two-pole: its current, and how that changes, at a voltage across it.

use super::Element;

/// What a two-pole does at one voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Flow {
    /// Current from the first terminal to the second, amperes.
    pub(crate) current_a: f64,
    /// Its change with the voltage, siemens, never below zero.
    pub(crate) slope_s: f64,
}

impl Flow {
    fn new(current_a: f64, slope_s: f64) -> Self {
        Self { current_a, slope_s }
    }
}

/// The law of an element whose current depends on the voltage across it alone, `u` being first terminal
/// less second.
pub(crate) fn flow(element: &Element, u: f64) -> Flow {
    match *element {
        Element::Resistance { ohms, .. } => Flow::new(u / ohms, 1.0 / ohms),
        Element::Source { emf_v, ohms, .. } => Flow::new((emf_v + u) / ohms, 1.0 / ohms),
        Element::Current { current_a, .. } => Flow::new(current_a, 0.0),
        Element::CurrentLoad {
            current_a, least_v, ..
        } => {
            if u >= least_v {
                Flow::new(current_a, 0.0)
            } else {
                Flow::new(current_a * u / least_v, current_a / least_v)
            }
        }
        Element::Emf { .. } | Element::Ratiometric { .. } => Flow::new(0.0, 0.0),
    }
}

/// Whether the law bends, so that one linear solution is not enough.
pub(crate) fn bends(element: &Element) -> bool {
    matches!(element, Element::CurrentLoad { .. })
}

/// Whether the element holds its two ends together.
pub(crate) fn conducts(element: &Element) -> bool {
    !matches!(element, Element::Current { .. })
}
