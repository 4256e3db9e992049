//! What differs between a state and the same with a fault.

use crimpbook_core::network::{Condition, Potential};

use super::relays::pulled_in;
use crate::{
    analysis::{CavityVolts, Snapshot, StateResult},
    circuit::Stand,
    model::{Cavity, Id, Limits, PartKind},
};

/// A cavity changes when its voltage moves by more than this, V (our own).
const CHANGES_V: f64 = 0.1;
/// A load is at work above this, A (our own).
pub(in crate::analysis) const WORKS_A: f64 = 0.005;
/// Below this share of the other current it counts as standing still (our own).
pub(in crate::analysis) const STILL: f64 = 0.2;

/// What a unit makes of an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reads {
    /// On.
    On,
    /// Off.
    Off,
    /// Between its thresholds, or floating: nobody knows.
    Undefined,
}

impl Reads {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::On => "on",
            Self::Off => "off",
            Self::Undefined => "neither on nor off",
        }
    }
}

/// A cavity that changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CavityChange {
    /// The cavity.
    pub cavity: Id<Cavity>,
    /// Without the fault.
    pub before: CavityVolts,
    /// With it.
    pub after: CavityVolts,
    /// What its unit reads without and with it; none: its manual states no thresholds.
    pub reads: Option<(Reads, Reads)>,
    /// It goes above the most its manual allows, V.
    pub above_most_v: Option<f64>,
}

impl CavityChange {
    /// What the unit reads now, where that is something else than before.
    pub fn turned(&self) -> Option<(Reads, Reads)> {
        self.reads.filter(|(before, after)| before != after)
    }

    /// Whether the unit itself sees it move, not only a meter at battery negative.
    pub fn moves_for_its_unit(&self) -> bool {
        let (before, after) = (self.before.own_ground_v, self.after.own_ground_v);
        before.or(after).is_none() || moves(before, after)
    }
}

/// What a load or coil does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// A load begins to run.
    Starts,
    /// A load ceases to run.
    Stops,
    /// A coil pulls in.
    PullsIn,
    /// A coil releases.
    Releases,
}

/// A load or coil that changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartChange {
    /// Its place among the wiring's parts.
    pub part: usize,
    /// What it does.
    pub turn: Turn,
    /// Its current before and after, A.
    pub current_a: (f64, f64),
}

/// All that changes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Changes {
    /// Cavities.
    pub cavities: Vec<CavityChange>,
    /// Loads, lamps and coils.
    pub parts: Vec<PartChange>,
}

impl Changes {
    /// From one result to another of the same state.
    pub(super) fn between(see: &Snapshot, before: &StateResult, after: &StateResult) -> Self {
        let contacts = see.wiring().contacts.iter();
        let cavities = contacts
            .filter_map(|run| cavity(see, before, after, run.cavity))
            .collect();
        let places = 0..see.wiring().parts.len();
        let parts = places.filter_map(|at| part(see, before, after, at)).collect();
        Self { cavities, parts }
    }
}

fn cavity(see: &Snapshot, before: &StateResult, after: &StateResult, id: Id<Cavity>) -> Option<CavityChange> {
    let limits = see.book().get(id)?.limits;
    let (was, is) = (see.cavity_volts(before, id), see.cavity_volts(after, id));
    let reads = reads(&limits, was.own_ground_v).zip(reads(&limits, is.own_ground_v));
    let above = |of: &CavityVolts, most: f64| of.own_ground_v.is_some_and(|v| v.abs() > most);
    let above_most_v = limits
        .most_v
        .filter(|most| above(&is, *most) && !above(&was, *most));
    let change = CavityChange {
        cavity: id,
        before: was,
        after: is,
        reads,
        above_most_v,
    };
    let moved = moves(was.own_ground_v, is.own_ground_v)
        || moves(was.negative.volts(), is.negative.volts())
        || matches!(is.negative, Potential::Unsteady { .. });
    (moved || change.turned().is_some() || above_most_v.is_some()).then_some(change)
}

fn moves(before_v: Option<f64>, after_v: Option<f64>) -> bool {
    match (before_v, after_v) {
        (Some(before), Some(after)) => (after - before).abs() > CHANGES_V,
        (None, None) => false,
        _ => true,
    }
}

/// What a unit reads at this voltage above its own ground; none: its manual states no pair of thresholds.
pub fn reads(limits: &Limits, volts: Option<f64>) -> Option<Reads> {
    // An input that is active at ground reads upside down.
    let (sign, on_v, off_v) = match (limits.on_above_v, limits.on_below_v) {
        (Some(on_v), _) => (1.0, on_v, limits.off_below_v?),
        (None, Some(on_v)) => (-1.0, on_v, limits.off_above_v?),
        (None, None) => return None,
    };
    Some(match volts {
        Some(v) if sign * v > sign * on_v => Reads::On,
        Some(v) if sign * v < sign * off_v => Reads::Off,
        _ => Reads::Undefined,
    })
}

fn part(see: &Snapshot, before: &StateResult, after: &StateResult, at: usize) -> Option<PartChange> {
    let part = see.book().get(see.wiring().parts.get(at)?.part)?;
    let current_a = (before.operated.part_a(at), after.operated.part_a(at));
    let turn = match part.kind {
        // A coil that the state itself holds tells nothing but its current.
        PartKind::Coil { .. } if matches!(after.stands.get(part.id), Stand::Follows(_)) => {
            match (pulled_in(see, before, at)?, pulled_in(see, after, at)?) {
                (false, true) => Turn::PullsIn,
                (true, false) => Turn::Releases,
                _ => return None,
            }
        }
        PartKind::Coil { .. } | PartKind::Load { .. } | PartKind::Lamp { .. } => {
            let works = |of: &StateResult, own: f64, other: f64| {
                let starved = matches!(
                    of.operated.condition(at),
                    Some(Condition::Starved | Condition::Collapsed)
                );
                !starved && own.abs() > WORKS_A.max(STILL * other.abs())
            };
            let was = works(before, current_a.0, current_a.1);
            match (was, works(after, current_a.1, current_a.0)) {
                (false, true) => Turn::Starts,
                (true, false) => Turn::Stops,
                _ => return None,
            }
        }
        _ => return None,
    };
    Some(PartChange {
        part: at,
        turn,
        current_a,
    })
}
