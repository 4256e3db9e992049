//! Two verdicts on a fault: whether the wires bear it, and what the vehicle does.

use crimpbook_core::{
    fuse::WireBelow,
    heat::{Limits, WireHeat},
};

use super::{Moment, Reads, Supposed, Turn};
use crate::{
    analysis::{Snapshot, StateResult, protect::core_fuse},
    model::{Fuse, Id, Wire},
};

/// A wire's current counts as risen by the fault above this, A and share (our own).
const RISEN_A: f64 = 0.1;
const RISEN_SHARE: f64 = 1.05;

/// Whether the wires bear a fault.
#[derive(Debug, Clone, PartialEq)]
pub enum WireVerdict {
    /// Every wire bears what flows, until a fuse opens or for ever.
    Safe,
    /// A wire is hurt: which, what flows, how long it bears that, how long the fuse may take (none: no fuse opens).
    Hurt {
        /// The wire.
        wire: Id<Wire>,
        /// Its current, A.
        current_a: f64,
        /// It bears that for so long, s.
        bears_s: f64,
        /// The fuses may take so long, s.
        fuse_s: Option<f64>,
    },
    /// It cannot be said: what is missing.
    CannotTell(String),
}

/// What the vehicle does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FunctionVerdict {
    /// As without the fault.
    Unchanged,
    /// Something stops, or an input no longer reads what it did; nothing comes on by itself.
    Lost,
    /// Something comes on that nothing commands.
    ActsByItself,
}

impl Supposed {
    /// What the vehicle does, the worse of the two moments.
    pub fn function(&self) -> FunctionVerdict {
        function(&self.first).max_of(function(&self.lasting))
    }

    /// Whether the wires bear it, against the state without the fault.
    pub fn wires(&self, see: &Snapshot, of: &StateResult) -> WireVerdict {
        let fuse_s = match self.fuses_take_s(see) {
            Ok(time) => time,
            Err(missing) => return WireVerdict::CannotTell(missing),
        };
        let mut missing = None;
        let wiring = see.wiring();
        let mut worst: Option<(f64, WireVerdict)> = None;
        for (at, run) in wiring.wires.iter().enumerate() {
            let before_a = of.operated.wire_a(at).abs();
            let currents = [&self.first, &self.lasting].map(|m| m.result.operated.wire_a(at).abs());
            let risen = |a: f64| a > before_a + RISEN_A && a > before_a * RISEN_SHARE;
            if !currents.iter().any(|a| risen(*a)) {
                continue;
            }
            let warmth = see.warmth().wires.get(at);
            let lacks = match warmth {
                // What flows through a wire of unknown resistance is not known either.
                _ if run.conductor_ohm.is_none() => Some("size or length"),
                Some(w) if w.ambient_c.is_none() => Some("ambient"),
                Some(w) if w.alone.is_none() => Some("size or insulation class"),
                _ => None,
            };
            if let Some(what) = lacks {
                missing.get_or_insert_with(|| format!("{what} of {}", see.book().label_of(run.wire)));
            }
            let Some(alone) = warmth.and_then(|w| w.alone.clone()).filter(|_| lacks.is_none()) else {
                continue;
            };
            let factor = of.temperatures.factor.get(at).copied().unwrap_or(1.0);
            let heat = WireHeat {
                bundle_factor: factor,
                ..alone.heat
            };
            let limits: Limits = WireBelow::new(alone, before_a).limits;
            let from = heat.running_state(before_a);
            let bears = |a: f64| from.map_or(0.0, |from| heat.bears(a, from, &limits).time_s);
            // Until the fuses open it bears the first moment, and then what lasts.
            let last_s = if risen(currents[1]) {
                bears(currents[1])
            } else {
                f64::INFINITY
            };
            let first_s = if self.opened.is_empty() {
                last_s
            } else {
                bears(currents[0])
            };
            let (current_a, bears_s, hurt) = if last_s.is_finite() {
                (currents[1], last_s, true)
            } else {
                (currents[0], first_s, fuse_s.is_some_and(|fuse| first_s < fuse))
            };
            if hurt && worst.as_ref().is_none_or(|(time, _)| bears_s < *time) {
                let fuse_s = fuse_s.filter(|_| last_s.is_infinite());
                let verdict = WireVerdict::Hurt {
                    wire: run.wire,
                    current_a,
                    bears_s,
                    fuse_s,
                };
                worst = Some((bears_s, verdict));
            }
        }
        match (worst, missing) {
            (Some((_, verdict)), _) => verdict,
            (None, Some(missing)) => WireVerdict::CannotTell(missing),
            (None, None) => WireVerdict::Safe,
        }
    }

    /// How long the fuses that open may take, one after the other, s; none: no fuse opens.
    fn fuses_take_s(&self, see: &Snapshot) -> Result<Option<f64>, String> {
        let mut sum = None;
        for opened in &self.opened {
            let zone = see.protection().zone(opened.fuse);
            let fuse: Option<&Fuse> = see.book().get(opened.fuse);
            let core = zone.zip(fuse).and_then(|(zone, fuse)| core_fuse(see, zone, fuse));
            let core = core.ok_or_else(|| format!("ambient of {}", see.book().label_of(opened.fuse)))?;
            *sum.get_or_insert(0.0) += core.longest_s(opened.current_a);
        }
        Ok(sum)
    }
}

impl FunctionVerdict {
    fn max_of(self, other: Self) -> Self {
        let rank = |v| match v {
            Self::Unchanged => 0,
            Self::Lost => 1,
            Self::ActsByItself => 2,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

fn function(moment: &Moment) -> FunctionVerdict {
    let turns_on = moment.changes.cavities.iter().filter_map(|c| c.turned());
    let on = turns_on.clone().any(|(_, after)| after == Reads::On);
    let starts = |p: &super::PartChange| matches!(p.turn, Turn::Starts | Turn::PullsIn);
    if on || moment.changes.parts.iter().any(starts) {
        FunctionVerdict::ActsByItself
    } else if turns_on.count() > 0 || !moment.changes.parts.is_empty() {
        FunctionVerdict::Lost
    } else {
        FunctionVerdict::Unchanged
    }
}
