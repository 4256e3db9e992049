//! By how much a wire's time exceeds its fuse's, and at which current by the least.

use super::fuse_in_hand::Fuse;
use super::wire_below::WireBelow;
use crate::heat::{LimitUsed, Limits, WireState, adiabatic_time_s, copper};

/// Where the wire's time exceeds the fuse's by the least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// At this current in A.
    pub current_a: f64,
    /// The fuse has certainly opened after, in s.
    pub fuse_longest_s: f64,
    /// The wire bears it for, in s.
    pub wire_bears_s: f64,
    /// The wire's time over the fuse's; below 1 the wire is hurt first.
    pub ratio: f64,
    /// The true ratio is at least this; it was not needed more exactly.
    pub at_least: bool,
    /// The limit that the wire reaches.
    pub limit: LimitUsed,
}

/// A margin this large needs no exact figure.
pub(super) const AMPLE: f64 = 4.0;
/// Steps from one corner of the fuse's band to the next.
const STEPS: i32 = 4;

/// One stretch of the band between two corners, as currents in A to try, both ends among them. Within it the fuse's line
/// is straight and the wire's is bent one way, so that the margin has one lowest place.
pub(super) type Stretch = Vec<f64>;

/// The stretches from the gate to the highest current that can flow. Empty if nothing above the gate can flow.
pub(super) fn stretches(fuse: &Fuse, highest_a: f64) -> Vec<Stretch> {
    let gate_a = fuse.opens_from_a();
    if highest_a <= gate_a {
        return Vec::new();
    }
    let mut corners: Vec<f64> = fuse
        .band
        .corners()
        .into_iter()
        .map(|m| m * fuse.rating_a)
        .collect();
    corners.retain(|a| *a >= gate_a && *a < highest_a);
    corners.push(highest_a);
    let pairs = corners.iter().zip(corners.iter().skip(1));
    pairs
        .map(|(from_a, to_a)| {
            let step = (to_a / from_a).powf(1.0 / f64::from(STEPS));
            (0..STEPS).map(|i| from_a * step.powi(i)).chain([*to_a]).collect()
        })
        .collect()
}

/// Looks for the least margin in these stretches.
pub(super) fn least_margin(search: &Search<'_>, stretches: &[Stretch]) -> Option<Margin> {
    let lowest = stretches.iter().filter_map(|stretch| lowest_in(search, stretch));
    lowest.min_by(|a, b| a.ratio.total_cmp(&b.ratio))
}

fn lowest_in(search: &Search<'_>, stretch: &Stretch) -> Option<Margin> {
    // Just above what the wire bears for hours the quick bound is lowest: it must be looked at.
    let mut currents = stretch.clone();
    let knee_a = search.overload_a * 1.0001;
    let after = currents.partition_point(|a| *a < knee_a);
    if after > 0 && after < currents.len() {
        currents.insert(after, knee_a);
    }
    let bounds: Vec<Margin> = currents.iter().map(|a| search.at_least(*a)).collect();
    let bound = least(&bounds)?;
    if bound.ratio >= AMPLE {
        return Some(bound);
    }
    // A place with an ample bound cannot be the lowest if the lowest is not ample.
    let exact: Vec<Margin> = bounds
        .iter()
        .map(|b| {
            if b.ratio < AMPLE {
                search.exact(b.current_a)
            } else {
                *b
            }
        })
        .collect();
    let lowest = exact.iter().enumerate().filter(|(_, m)| !m.at_least);
    let (at, best) = lowest.min_by(|a, b| a.1.ratio.total_cmp(&b.1.ratio))?;
    let current_a = |at: Option<usize>| {
        at.and_then(|at| currents.get(at))
            .copied()
            .unwrap_or(best.current_a)
    };
    Some(lowest_between(
        search,
        current_a(at.checked_sub(1)),
        current_a(Some(at + 1)),
        *best,
    ))
}

fn least(margins: &[Margin]) -> Option<Margin> {
    margins.iter().copied().min_by(|a, b| a.ratio.total_cmp(&b.ratio))
}

/// Narrows a stretch with one lowest place by the golden section of its logarithm.
fn lowest_between(search: &Search<'_>, low_a: f64, high_a: f64, mut best: Margin) -> Margin {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut low, mut high) = (low_a.ln(), high_a.ln());
    let at = |log: f64| search.exact(log.exp());
    let mut left = at(high - GOLDEN * (high - low));
    let mut right = at(low + GOLDEN * (high - low));
    for _ in 0..8 {
        best = least(&[best, left, right]).unwrap_or(best);
        if high - low < 0.01 {
            break;
        }
        if left.ratio < right.ratio {
            high = right.current_a.ln();
            right = left;
            left = at(high - GOLDEN * (high - low));
        } else {
            low = left.current_a.ln();
            left = right;
            right = at(low + GOLDEN * (high - low));
        }
    }
    best
}

/// What stays the same while currents are tried.
pub(super) struct Search<'a> {
    fuse: &'a Fuse,
    wire: &'a WireBelow,
    limits: &'a Limits,
    from: WireState,
    class_a: f64,
    overload_a: f64,
    /// Area in mm² of ideal copper with the wire's resistance and mass taken together.
    adiabatic_mm2: f64,
}

impl<'a> Search<'a> {
    pub fn new(fuse: &'a Fuse, wire: &'a WireBelow, limits: &'a Limits) -> Self {
        let ideal = crate::conductor::ideal_ohm_per_m(wire.heat.area_mm2);
        Self {
            fuse,
            wire,
            limits,
            from: wire.state_before(),
            class_a: wire.heat.allowed_current_a(limits.class_c),
            overload_a: wire.heat.allowed_current_a(limits.overload_c),
            adiabatic_mm2: wire.heat.area_mm2 * (ideal / wire.heat.ohm_per_m_20).sqrt(),
        }
    }

    fn margin(&self, current_a: f64, wire_bears_s: f64, limit: LimitUsed, at_least: bool) -> Margin {
        let fuse_longest_s = self.fuse.longest_s(current_a);
        let ratio = wire_bears_s / fuse_longest_s;
        Margin {
            current_a,
            fuse_longest_s,
            wire_bears_s,
            ratio,
            at_least,
            limit,
        }
    }

    /// A quick bound: what the wire bears for ever, for hours, or if no heat left its copper.
    pub fn at_least(&self, current_a: f64) -> Margin {
        let limits = self.limits;
        if current_a <= self.class_a {
            return self.margin(current_a, f64::INFINITY, LimitUsed::Class, true);
        }
        if current_a <= self.overload_a {
            return self.margin(current_a, limits.overload_s, LimitUsed::Overload, true);
        }
        let time = |to_c| {
            adiabatic_time_s(
                copper(),
                self.adiabatic_mm2,
                current_a,
                self.from.conductor_c,
                to_c,
            )
        };
        let short_s = time(limits.short_circuit_c).min(limits.short_circuit_s);
        let overload_s = time(limits.overload_c);
        if short_s > overload_s {
            self.margin(current_a, short_s, LimitUsed::ShortCircuit, true)
        } else {
            self.margin(current_a, overload_s, LimitUsed::Overload, true)
        }
    }

    /// Whether the wire is hurt before the fuse has certainly opened.
    pub fn is_hurt(&self, current_a: f64) -> bool {
        self.at_least(current_a).ratio < 1.0 && self.exact(current_a).ratio < 1.0
    }

    pub fn exact(&self, current_a: f64) -> Margin {
        let bears = self.wire.heat.bears(current_a, self.from, self.limits);
        self.margin(current_a, bears.time_s, bears.limit, false)
    }
}
