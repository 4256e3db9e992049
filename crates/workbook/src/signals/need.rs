//! What a cavity needs from its net, by its kind; and the inputs whose need nothing meets.

use super::Signals;
use crate::book::InOrder;
use crate::{
    Book,
    model::{Cavity, Decision, Id, SignalKind},
};

/// What a cavity needs from its net.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Need {
    /// A supply.
    Supply,
    /// A signal; a fixed level (supply or ground) will do.
    Signal,
    /// Ground.
    Ground,
    /// The other end of a path through it: supply, output or ground.
    Either,
    /// Others of its own kind.
    Peer,
    /// Nothing: it gives, or stays open.
    Nothing,
}

impl Need {
    /// In words (`a supply`).
    pub fn words(self) -> &'static str {
        match self {
            Self::Supply => "a supply",
            Self::Signal => "a signal",
            Self::Ground => "ground",
            Self::Either => "a supply, an output or ground",
            Self::Peer => "a partner of its kind",
            Self::Nothing => "nothing",
        }
    }
}

/// What a cavity of this kind needs.
pub fn need(kind: SignalKind) -> Need {
    use SignalKind as K;
    match kind {
        K::SupplyIn | K::LogicSupply | K::ClampSupply | K::SensorFeed => Need::Supply,
        K::AnalogueIn
        | K::ResistanceIn
        | K::DigitalInHigh
        | K::DigitalInLow
        | K::DigitalInBare
        | K::PwmIn
        | K::SerialRx
        | K::EncoderIn
        | K::InterlockIn
        | K::InterlockLoop => Need::Signal,
        K::Ground => Need::Ground,
        K::SwitchFeed | K::Coil | K::Lamp | K::Motor | K::PotEnd => Need::Either,
        K::CanHigh | K::CanLow | K::ControlPilot | K::Proximity => Need::Peer,
        K::SupplyOut
        | K::SensorSupply
        | K::SensorReturn
        | K::AnalogueOut
        | K::PotWiper
        | K::PwmOut
        | K::LowSideOut
        | K::OpenCollector
        | K::HighSideOut
        | K::SwitchContact
        | K::SerialTx
        | K::EncoderOut
        | K::TemperatureSensor
        | K::Shield
        | K::InterlockOut
        | K::NotConnected
        | K::DoNotUse => Need::Nothing,
    }
}

/// An input that has no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unsourced {
    /// The cavity.
    pub cavity: Id<Cavity>,
    /// What it lacks.
    pub need: Need,
}

impl Signals {
    /// Inputs that are wired, bridged or undecided and whose need nothing on their net meets, in order of connector and
    /// number. One that is blank, reserved or not ours needs nothing by decision.
    pub fn unsourced(&self, book: &Book) -> Vec<Unsourced> {
        let mut all = Vec::new();
        for connectors in book.index().connectors_of.values() {
            for cavity in connectors.iter().flat_map(|id| book.cavities_of(*id)) {
                let need = cavity.kind.map_or(Need::Nothing, need);
                if need != Need::Nothing && is_open(cavity.decision) && !self.is_met(book, cavity, need) {
                    all.push(Unsourced {
                        cavity: cavity.id,
                        need,
                    });
                }
            }
        }
        let place = |u: &Unsourced| {
            let cavity = book.get(u.cavity);
            let connector = cavity.map_or_else(String::new, |c| book.label_of(c.connector));
            let number = cavity.map(|c| crate::book::natural(&c.number));
            (crate::book::natural(&connector), number)
        };
        all.order_by(place);
        all
    }

    fn is_met(&self, book: &Book, cavity: &Cavity, need: Need) -> bool {
        let Some(signal) = self.at_cavity(cavity.id) else {
            return false;
        };
        match need {
            Need::Nothing => true,
            Need::Supply => signal.has_supply(book),
            Need::Ground => signal.is_ground,
            Need::Signal | Need::Either => signal.is_ground || signal.has_source(),
            Need::Peer => signal.sources.iter().any(|other| {
                *other != cavity.id && book.get(*other).is_some_and(|other| other.kind == cavity.kind)
            }),
        }
    }
}

fn is_open(decision: Decision) -> bool {
    matches!(
        decision,
        Decision::Undecided | Decision::Wired | Decision::Bridged { .. }
    )
}
