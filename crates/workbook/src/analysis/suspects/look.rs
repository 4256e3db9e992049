//! One way a fault may look: what differs from the state without it.

use super::Ruin;
use crate::model::{Fuse, Id};

/// What a meter finds at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Volt {
    /// A voltage, V.
    At(f32),
    /// Nothing holds it.
    Floats,
    /// It goes to and fro between these, V.
    Between(f32, f32),
}

/// When or by what it looks so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// As it happens, before a fuse opens.
    AtFirst,
    /// Units still drive what the state has them drive.
    Before,
    /// What lasts.
    Lasting,
    /// A unit without its feed drives nothing.
    Unfed,
    /// What is left once a wire that carries too much for good has burnt through: counted for its own fault only, never
    /// against other items or in pairs.
    Burnt,
}

/// What differs from the state without the fault.
#[derive(Debug, Clone)]
pub struct Look {
    /// When.
    pub how: How,
    /// How likely beside the fault's other looks; they add up to one.
    pub weight: f64,
    /// Something touches, so that much may flow and wires may run hot.
    pub(super) touches: bool,
    /// So much flows there for good that wires burn: what is computed holds for a moment only.
    pub(super) burns: bool,
    /// What it ruins.
    pub(super) ruins: Option<Ruin>,
    /// Fuses that are open.
    pub open: Vec<Id<Fuse>>,
    /// Places whose voltage moved, in order.
    pub(super) moved: Vec<(u32, Volt)>,
    /// What is seen otherwise, in order; none: nobody can say.
    pub(super) seen: Vec<(u32, Option<bool>)>,
}

impl Look {
    /// Places whose voltage moves.
    pub(super) fn places(&self) -> impl Iterator<Item = usize> + '_ {
        self.moved.iter().map(|(at, _)| *at as usize)
    }

    pub(super) fn volt(&self, place: usize, usual: &[Volt]) -> Option<Volt> {
        let at = self.moved.binary_search_by_key(&(place as u32), |m| m.0);
        match at {
            Ok(at) => self.moved.get(at).map(|m| m.1),
            Err(_) => usual.get(place).copied(),
        }
    }

    pub(super) fn is_on(&self, watched: usize, usual: Option<bool>) -> Option<bool> {
        let at = self.seen.binary_search_by_key(&(watched as u32), |m| m.0);
        match at {
            Ok(at) => self.seen.get(at).and_then(|m| m.1),
            Err(_) => usual,
        }
    }
}

/// What a meter may show, V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Least.
    pub least_v: f64,
    /// Most.
    pub most_v: f64,
}

impl Window {
    /// Whether a reading lies in it.
    pub fn holds(&self, volts: f64) -> bool {
        volts >= self.least_v && volts <= self.most_v
    }

    pub(super) fn middle(&self) -> f64 {
        f64::midpoint(self.least_v, self.most_v)
    }

    pub(super) fn half(&self) -> f64 {
        (self.most_v - self.least_v) / 2.0
    }
}

/// What a hand meter may be off: V, and share of the reading (our own, as for tests).
const METER_V: f64 = 0.05;
const METER_SHARE: f64 = 0.005;
/// A source or reference may be off by this share of its volts (our own; manuals state 1 to 5 %).
const SOURCE_SHARE: f64 = 0.03;
/// A place that floats reads less than this on a meter of 10 MΩ, V (our own, as for tests).
const FLOATS_V: f64 = 0.5;
/// Of what a fault moves, this share is left to what is not known of it; more where something touches, since wires then run
/// hot and a touch has a resistance of its own (our own).
const MOVED_SHARE: f64 = 0.05;
const TOUCH_SHARE: f64 = 0.15;
const BURNS_SHARE: f64 = 0.4;
const BURNS_V: f64 = 1.0;
/// Of the supply's range, this share is given to places that do not follow it in proportion (our own).
const RANGE_SHARE: f64 = 0.03;

impl super::Signatures {
    /// What a meter may show at a place with this look (none: without a fault); no window: that cannot be told.
    pub fn window(&self, look: Option<&Look>, place: usize) -> Option<Window> {
        if self.places.get(place).is_none_or(|p| p.untold) {
            return None;
        }
        let usual = self.usual.get(place).copied()?;
        let volt = look.map_or(Some(usual), |look| look.volt(place, &self.usual))?;
        let supply = self.supply;
        let follow = |v: f64| {
            let ends = [supply.least_v, supply.most_v].map(|to| v * to / supply.volts_v);
            (v.min(ends[0]).min(ends[1]), v.max(ends[0]).max(ends[1]))
        };
        let (least, most) = match volt {
            Volt::At(v) => follow(f64::from(v)),
            Volt::Floats => (-FLOATS_V, FLOATS_V),
            Volt::Between(a, b) => (follow(f64::from(a)).0, follow(f64::from(b)).1),
        };
        let far = match (volt, usual) {
            (Volt::At(v), Volt::At(u)) => f64::from((v - u).abs()),
            (Volt::At(v), _) => f64::from(v.abs()),
            _ => 0.0,
        };
        let give = self.give_v.get(place).copied().unwrap_or(0.0)
            + match look {
                Some(look) if look.burns => BURNS_V + BURNS_SHARE * far,
                Some(look) if look.touches => TOUCH_SHARE * far,
                _ => MOVED_SHARE * far,
            }
            + RANGE_SHARE * (supply.most_v - supply.least_v);
        let off = |v: f64| METER_V + (METER_SHARE + SOURCE_SHARE) * v.abs() + give;
        Some(Window {
            least_v: least - off(least),
            most_v: most + off(most),
        })
    }

    /// What the computing finds at a place with this look (none: without a fault).
    pub fn volt(&self, look: Option<&Look>, place: usize) -> Option<Volt> {
        look.map_or_else(
            || self.usual.get(place).copied(),
            |look| look.volt(place, &self.usual),
        )
    }

    /// What a look has a watched thing do; none: nobody can say.
    pub fn is_on(&self, look: Option<&Look>, watched: usize) -> Option<bool> {
        let usual = self.watched.get(watched)?.usual;
        look.map_or(usual, |look| look.is_on(watched, usual))
    }
}
