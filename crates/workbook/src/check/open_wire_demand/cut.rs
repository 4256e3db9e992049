//! The three wires of a sensor, and what is read with one of them off.

use super::{Track, is_active};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Part, PartKind, PullTo, Terminal, Wire},
    signals::JOINT_OHM,
};

/// A wire of a sensor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cut {
    /// The wiper or output.
    Signal,
    /// The supply.
    Supply,
    /// The return.
    Return,
}

impl Cut {
    pub(super) const ALL: [Self; 3] = [Self::Signal, Self::Supply, Self::Return];

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Signal => "signal",
            Self::Supply => "supply",
            Self::Return => "return",
        }
    }

    /// The sensor's own wire of this kind.
    pub(super) fn wire(self, track: &Track) -> Option<Id<Wire>> {
        match self {
            Self::Signal => track.signal_wire,
            Self::Supply => track.supply_wire,
            Self::Return => track.return_wire,
        }
    }
}

/// What an input reads.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Reading {
    /// From and to, V, over the whole travel.
    Range(f64, f64),
    /// An active sensor without its return.
    NotComputable,
    /// A fact is missing.
    Missing(String),
}

/// What a track's reader reads with this wire off.
pub(super) fn reading(see: &Snapshot, track: &Track, cut: Cut) -> Reading {
    let active = is_active(see, track.part);
    if active && cut == Cut::Return {
        return Reading::NotComputable;
    }
    let cavity = see.book().cavity_name(track.reader);
    let Some((to, pull_ohm)) = pull(see, track.reader) else {
        return Reading::Missing(format!("where {cavity} is pulled inside, and over how many Ω"));
    };
    let (low, high) = match to {
        PullTo::Ground => (true, false),
        PullTo::FiveVolts => (false, true),
        PullTo::Supply | PullTo::Nothing => {
            return Reading::Missing(format!("what {cavity} reads with nothing on it"));
        }
    };
    let Some(supply_v) = track.supply_v(see) else {
        return Reading::Missing(format!("what feeds the sensor that {cavity} reads"));
    };
    let alone_v = if high { supply_v } else { 0.0 };
    if cut == Cut::Signal || active {
        // Without its supply an active sensor's output is taken to let go of the wire.
        return Reading::Range(alone_v, alone_v);
    }
    let Some(PartKind::Potentiometer { ohm }) = see.book().get(track.part).map(|p: &Part| &p.kind) else {
        return Reading::Range(alone_v, alone_v);
    };
    // The half that is left, from none of the track to all of it, against the pull.
    let divided = |share: f64| supply_v * pull_ohm / (pull_ohm + share * ohm);
    match (cut, low) {
        (Cut::Return, true) => Reading::Range(divided(1.0), supply_v),
        (Cut::Return, false) => Reading::Range(supply_v, supply_v),
        (_, true) => Reading::Range(0.0, 0.0),
        (_, false) => Reading::Range(0.0, supply_v - divided(1.0)),
    }
}

/// Where an input is pulled, and over how many Ω: as its limits say, else by a resistor drawn at it.
fn pull(see: &Snapshot, reader: Id<Cavity>) -> Option<(PullTo, f64)> {
    let book = see.book();
    let stated = book.get(reader).and_then(|c: &Cavity| c.limits.pull);
    let drawn = || {
        let parts = book.index().parts_at.get(&Terminal::Cavity(reader))?;
        parts
            .iter()
            .find_map(|(part, _)| match book.get(*part).map(|p: &Part| &p.kind) {
                Some(PartKind::Resistor { ohm }) if *ohm > JOINT_OHM => Some(*ohm),
                _ => None,
            })
    };
    let stated = stated?;
    if stated.to == PullTo::Nothing {
        return Some((PullTo::Nothing, f64::INFINITY));
    }
    Some((stated.to, stated.ohm.or_else(drawn)?))
}
