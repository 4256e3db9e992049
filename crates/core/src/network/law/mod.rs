//! The law of each two-pole: its current, and how that changes, at a voltage across it.
//!
//! A law that bends has a file of its own; [`Law`] is the table of them.

mod current_load;
mod diode;
mod lamp;
mod limited;
mod power_load;

pub use limited::REVERSE_OHMS;
pub(crate) use power_load::Work;

use super::Element;

/// A leakage in what blocks, so that a node that hangs on it alone has one voltage, siemens.
const LEAK_S: f64 = 1e-12;

/// What a two-pole does at one voltage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Flow {
    /// Current from the first terminal to the second, amperes.
    pub(crate) current_a: f64,
    /// Its change with the voltage, siemens.
    pub(crate) slope_s: f64,
}

impl Flow {
    fn new(current_a: f64, slope_s: f64) -> Self {
        Self { current_a, slope_s }
    }
}

/// A straight law: `siemens · u + constant_a`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Straight {
    pub(crate) siemens: f64,
    pub(crate) constant_a: f64,
}

/// How an element enters the balance of currents.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// One line through all voltages.
    Straight(Straight),
    /// A law that bends.
    Bent(Bent),
    /// Follows three nodes; see the layout.
    Ratiometric,
    /// A voltage without resistance, which has no current law of its own.
    Joint,
}

/// The laws that bend, all rising but that of a power load at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Bent {
    CurrentLoad(current_load::CurrentLoad),
    PowerLoad(power_load::PowerLoad),
    Lamp(lamp::Lamp),
    Diode(diode::Diode),
    Limited(limited::Limited),
}

impl Law {
    /// The law of an element, of a contact when closed.
    pub(crate) fn of(element: &Element) -> Self {
        let straight = |siemens, constant_a| Self::Straight(Straight { siemens, constant_a });
        match *element {
            Element::Resistance { ohms, .. } | Element::Coil { ohms, .. } | Element::Contact { ohms, .. } => {
                straight(1.0 / ohms, 0.0)
            }
            Element::Source { emf_v, ohms, .. } => straight(1.0 / ohms, emf_v / ohms),
            Element::Current { current_a, .. } => straight(0.0, current_a),
            Element::Emf { .. } => Self::Joint,
            Element::Ratiometric { .. } => Self::Ratiometric,
            Element::CurrentLoad {
                current_a, least_v, ..
            } => Self::Bent(Bent::CurrentLoad(current_load::CurrentLoad {
                current_a,
                least_v,
            })),
            Element::PowerLoad { power_w, least_v, .. } => {
                Self::Bent(Bent::PowerLoad(power_load::PowerLoad { power_w, least_v }))
            }
            Element::Lamp {
                cold_ohms,
                hot_ohms,
                rated_v,
                ..
            } => Self::Bent(Bent::Lamp(lamp::Lamp::new(cold_ohms, hot_ohms, rated_v))),
            Element::Diode {
                saturation_a,
                slope_v,
                ..
            } => Self::Bent(Bent::Diode(diode::Diode::new(saturation_a, slope_v))),
            Element::LimitedSource {
                emf_v, ohms, limit_a, ..
            } => Self::Bent(Bent::Limited(limited::Limited { emf_v, ohms, limit_a })),
        }
    }
}

impl Bent {
    /// Current and slope at `u`, first terminal less second.
    pub(crate) fn flow(&self, u: f64, work: Work) -> Flow {
        match self {
            Self::CurrentLoad(law) => law.flow(u),
            Self::PowerLoad(law) => law.flow(u, work),
            Self::Lamp(law) => law.flow(u),
            Self::Diode(law) => law.flow(u),
            Self::Limited(law) => law.flow(u),
        }
    }

    /// A slope that is small for this element: it steers the search where the current does not depend on
    /// the voltage at all, and is no part of the balance.
    pub(crate) fn steering_s(&self) -> f64 {
        let own = match self {
            Self::CurrentLoad(law) => law.current_a / law.least_v,
            Self::PowerLoad(law) => law.power_w / (law.least_v * law.least_v),
            Self::Limited(law) => 1.0 / law.ohms,
            Self::Lamp(_) | Self::Diode(_) => return 0.0,
        };
        1e-9 * own
    }

    /// Whether it only leaks at `u`, and so holds no node.
    pub(crate) fn blocks(&self, u: f64) -> bool {
        match self {
            Self::Diode(law) => u < law.slope_v,
            Self::CurrentLoad(_) | Self::PowerLoad(_) | Self::Lamp(_) | Self::Limited(_) => false,
        }
    }

    /// Where to take the tangent next when the last one, at `old`, led to `new`.
    pub(crate) fn next_tangent(&self, new: f64, old: f64) -> f64 {
        match self {
            Self::Diode(law) => law.next_tangent(new, old),
            Self::Limited(law) => law.next_tangent(new, old),
            Self::Lamp(_) => lamp::Lamp::next_tangent(new, old),
            _ => new,
        }
    }
}
