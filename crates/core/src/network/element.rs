//! What a circuit is made of.

use super::{ElementId, NodeId};

/// One two-pole (or, for a ratiometric output, three-pole) of a circuit.
///
/// A current is counted from the first terminal named to the second, through the element, so that a
/// source (`minus` first) that delivers and a load (`from` first) that takes both show a positive one.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Element {
    /// A wire, fuse, contact pair, splice, chassis path or resistor.
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
    /// A voltage behind a resistance that gives `limit_a` at most and takes nothing back but what
    /// [`REVERSE_OHMS`](super::REVERSE_OHMS) take: a DC-DC converter, a sensor reference.
    LimitedSource {
        /// Negative pole.
        minus: NodeId,
        /// Positive pole.
        plus: NodeId,
        /// Open-circuit volts.
        emf_v: f64,
        /// Inner resistance, above zero.
        ohms: f64,
        /// Greatest current, amperes, above zero.
        limit_a: f64,
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
    /// A load that draws the same power at any voltage from `least_v` up, hence more current the lower
    /// the voltage. Below, it has dropped out and is taken as the resistor `least_v² / power_w`.
    PowerLoad {
        /// Feed.
        from: NodeId,
        /// Return.
        to: NodeId,
        /// Watts above `least_v`, above zero.
        power_w: f64,
        /// Volts, above zero.
        least_v: f64,
    },
    /// A filament lamp: resistance √(cold² + (hot² − cold²)·|V| / rated), our own simple law, which is
    /// right cold and at rated volts and draws about the square root of the voltage between.
    Lamp {
        /// One end.
        from: NodeId,
        /// The other end.
        to: NodeId,
        /// Ohms cold, above zero.
        cold_ohms: f64,
        /// Ohms at `rated_v`, not below `cold_ohms`.
        hot_ohms: f64,
        /// Volts at which it has `hot_ohms`, above zero.
        rated_v: f64,
    },
    /// A diode by Shockley's law, `saturation_a · (exp(V / slope_v) − 1)`, and 1 pS beside it. Above
    /// 10 kA the exponential goes on as its tangent.
    Diode {
        /// Where the current enters.
        anode: NodeId,
        /// Where it leaves.
        cathode: NodeId,
        /// Saturation current, amperes, above zero.
        saturation_a: f64,
        /// Emission coefficient times thermal voltage, volts, above zero; 25.85 mV to 52 mV at 27 °C.
        slope_v: f64,
    },
    /// The coil of a relay or contactor: a resistance that pulls in and drops out by the size of the
    /// voltage across it, whatever its polarity. Between the two it stays as it was.
    Coil {
        /// One end.
        from: NodeId,
        /// The other end.
        to: NodeId,
        /// Above zero.
        ohms: f64,
        /// It pulls in at this voltage and above.
        pull_in_v: f64,
        /// It drops out below this voltage, which is not above `pull_in_v`.
        drop_out_v: f64,
    },
    /// A contact of a switch, an output or a relay: `ohms` when closed, nothing when open.
    Contact {
        /// One end.
        a: NodeId,
        /// The other end.
        b: NodeId,
        /// Above zero.
        ohms: f64,
        /// What moves it.
        driver: Driver,
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

/// What moves a contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Driver {
    /// A hand or a state of the unit.
    Given {
        /// Whether it is closed.
        closed: bool,
    },
    /// A normally open contact of a relay.
    ClosedBy(ElementId),
    /// A normally closed contact of a relay. A change-over contact is one of each.
    OpenedBy(ElementId),
}

impl Element {
    /// The terminals between which the current is counted: where it enters, where it leaves.
    #[must_use]
    pub fn ends(&self) -> (NodeId, NodeId) {
        match *self {
            Self::Resistance { a, b, .. } | Self::Contact { a, b, .. } => (a, b),
            Self::Source { minus, plus, .. }
            | Self::LimitedSource { minus, plus, .. }
            | Self::Emf { minus, plus, .. } => (minus, plus),
            Self::Current { from, to, .. }
            | Self::CurrentLoad { from, to, .. }
            | Self::PowerLoad { from, to, .. }
            | Self::Lamp { from, to, .. }
            | Self::Coil { from, to, .. } => (from, to),
            Self::Diode { anode, cathode, .. } => (anode, cathode),
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

    /// The coil that moves this contact.
    pub(crate) fn coil(&self) -> Option<ElementId> {
        match *self {
            Self::Contact {
                driver: Driver::ClosedBy(coil) | Driver::OpenedBy(coil),
                ..
            } => Some(coil),
            _ => None,
        }
    }
}
