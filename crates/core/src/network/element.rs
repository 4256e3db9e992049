//! What a circuit is made of.

use super::{ElementId, NetworkError, NodeId};

/// One two-pole (or, for a ratiometric output, three-pole) of a circuit.
///
/// A current is counted from the first terminal named to the second, through the element, so that a
/// source (`minus` first) that delivers and a load (`from` first) that takes both show a positive one.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Element {
    /// A wire, fuse, contact, splice, chassis path or resistor.
    Resistance {
        /// One end.
        a: NodeId,
        /// The other end.
        b: NodeId,
        /// Above zero.
        ohms: f64,
    },
    /// A voltage behind a resistance: a battery, a pull-up to an inner supply. It takes current back.
    Source {
        /// Negative pole.
        minus: NodeId,
        /// Positive pole.
        plus: NodeId,
        /// Open-circuit volts.
        emf_v: f64,
        /// Inner resistance, above zero.
        ohms: f64,
    },
    /// A voltage without resistance. With 0 V it is a joint whose current can be read.
    Emf {
        /// Negative pole.
        minus: NodeId,
        /// Positive pole.
        plus: NodeId,
        /// Volts between the poles whatever flows.
        emf_v: f64,
    },
    /// A current that flows whatever the voltage, such as a meter's test current.
    Current {
        /// Where it leaves the circuit.
        from: NodeId,
        /// Where it comes back.
        to: NodeId,
        /// Amperes.
        current_a: f64,
    },
    /// A load that draws the same current at any voltage from `least_v` up. Below, it has dropped out
    /// and is taken as the resistor `least_v / current_a`: our own assumption, since what a starved
    /// unit draws stands in no manual, and a resistor neither floats nor hunts.
    CurrentLoad {
        /// Feed.
        from: NodeId,
        /// Return.
        to: NodeId,
        /// Amperes above `least_v`, above zero.
        current_a: f64,
        /// Volts, above zero.
        least_v: f64,
    },
    /// An output that is a share of its unit's own supply, behind a resistance: a ratiometric sensor.
    /// The current it drives comes out of its return.
    Ratiometric {
        /// Return of the sensor.
        low: NodeId,
        /// Supply of the sensor.
        high: NodeId,
        /// Its output.
        out: NodeId,
        /// (output − return) ÷ (supply − return) when nothing loads it, −0.5 to 1.5.
        share: f64,
        /// Output resistance, above zero.
        ohms: f64,
    },
}

impl Element {
    /// The terminals between which the current is counted: where it enters, where it leaves.
    #[must_use]
    pub fn ends(&self) -> (NodeId, NodeId) {
        match *self {
            Self::Resistance { a, b, .. } => (a, b),
            Self::Source { minus, plus, .. } | Self::Emf { minus, plus, .. } => (minus, plus),
            Self::Current { from, to, .. } | Self::CurrentLoad { from, to, .. } => (from, to),
            Self::Ratiometric { low, out, .. } => (low, out),
        }
    }

    /// Every terminal.
    pub(crate) fn terminals(&self) -> impl Iterator<Item = NodeId> + Clone + use<> {
        let (tail, head) = self.ends();
        let third = match *self {
            Self::Ratiometric { high, .. } => Some(high),
            _ => None,
        };
        [Some(tail), Some(head), third].into_iter().flatten()
    }

    /// Refuses values with which no solution means anything.
    pub(crate) fn check(&self, element: ElementId, tag: usize) -> Result<(), NetworkError> {
        let finite = |what, value: f64| {
            if value.is_finite() {
                Ok(())
            } else {
                Err(NetworkError::NotFinite { element, tag, what })
            }
        };
        let positive = |what, value: f64| {
            finite(what, value)?;
            if value > 0.0 {
                Ok(())
            } else {
                Err(NetworkError::NotPositive {
                    element,
                    tag,
                    what,
                    value,
                })
            }
        };
        match *self {
            Self::Resistance { ohms, .. } => positive("resistance", ohms),
            Self::Source { emf_v, ohms, .. } => {
                finite("voltage", emf_v)?;
                positive("resistance", ohms)
            }
            Self::Emf { emf_v, .. } => finite("voltage", emf_v),
            Self::Current { current_a, .. } => finite("current", current_a),
            Self::CurrentLoad {
                current_a, least_v, ..
            } => {
                positive("current", current_a)?;
                positive("least voltage", least_v)
            }
            Self::Ratiometric { share, ohms, .. } => {
                finite("share", share)?;
                let (least, most) = (-0.5, 1.5);
                if !(least..=most).contains(&share) {
                    let what = "share of the supply";
                    return Err(NetworkError::OutOfRange {
                        element,
                        tag,
                        what,
                        value: share,
                        least,
                        most,
                    });
                }
                positive("resistance", ohms)
            }
        }
    }
}
