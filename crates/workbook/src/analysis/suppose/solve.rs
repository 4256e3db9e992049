//! A fault solved: as it happens, and after its fuses have opened.

use std::collections::HashSet;

use super::{
    Failing, Touch,
    change::Changes,
    place,
    relays::{Freed, freed, pulled_in},
};
use crate::{
    analysis::{
        Snapshot, StateResult,
        protect::{FuseAt, FuseZone},
    },
    circuit::{Node, Stands, Trouble, Upset, operate_upset},
    model::{End, Fuse, Id, Part, Wire},
};

/// A short, Ω (our own).
pub(crate) const SHORT_OHM: f64 = 0.001;
/// From this multiple of its rating on a fuse counts as opening (the gate of ISO 8820 blade fuses, from memory).
pub const OPENS_AT: f64 = 1.35;
/// Fuses one fault opens at most before it is left at that.
const MOST_FUSES: usize = 8;

/// A fuse that a fault opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opened {
    /// The fuse.
    pub fuse: Id<Fuse>,
    /// What flowed through it, A.
    pub current_a: f64,
}

/// One of the two moments.
#[derive(Debug, Clone)]
pub struct Moment {
    /// The circuit then.
    pub result: StateResult,
    /// Current of the short, A; nothing where the wire is off.
    pub short_a: f64,
    /// What differs from the state without the fault.
    pub changes: Changes,
}

/// What a wire's fault does to a state.
#[derive(Debug, Clone)]
pub struct Supposed {
    /// What fails.
    pub failing: Failing,
    /// The end at which it touches: the one where the wire itself carries more.
    pub at: Option<End>,
    /// What it touches, by name; empty where it is off.
    pub to: String,
    /// As it happens, wires as warm as they were.
    pub first: Moment,
    /// Fuses that then open, the first one first.
    pub opened: Vec<Opened>,
    /// What lasts: after those have opened, wires as warm as they become.
    pub lasting: Moment,
}

/// Why a fault is not computed.
#[derive(Debug, Clone, PartialEq)]
pub enum NotSupposed {
    /// The circuit with the fault has no solution.
    Trouble(Trouble),
    /// Nothing is known that it could touch.
    NothingToTouch(&'static str),
    /// No such wire in the circuit.
    NoSuchWire,
}

impl From<Trouble> for NotSupposed {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

impl NotSupposed {
    /// In words, to stand behind "cannot compute:".
    pub fn words(&self, book: &crate::Book) -> String {
        match self {
            Self::Trouble(trouble) => trouble.words(book),
            Self::NothingToTouch(what) => format!("missing {what}"),
            Self::NoSuchWire => "the wire is not in the circuit".to_owned(),
        }
    }
}

/// A way in which it can fail: what that does, what comes of it, at which end and to what.
type Tried = (Upset, StateResult, Option<End>, String);

impl Snapshot {
    /// What a fault does to a state.
    ///
    /// # Errors
    /// [`NotSupposed`] where it cannot be computed.
    pub fn suppose(&self, of: &StateResult, failing: Failing) -> Result<Supposed, NotSupposed> {
        let Freed { stands, pulled } = freed(self, of)?;
        let stands = failing.stands(self, stands);
        let base = failing.upset(
            self,
            Upset {
                pulled,
                ..Upset::default()
            },
        );
        let mut tried: Vec<Tried> = Vec::new();
        match failing {
            Failing::Wire(wire, touch @ (Touch::Chassis | Touch::Supply)) => {
                self.touches(of, &stands, &base, (wire, touch), &mut tried)?;
            }
            _ => {
                let result = self.upset_for_a_moment(of, stands.clone(), &base)?;
                tried.push((base, result, None, String::new()));
            }
        }
        let load = |r: &StateResult| match failing {
            Failing::Wire(wire, _) => (r.operated.wire_a(wire).abs() * 1e3).round(),
            _ => 0.0,
        };
        let worse = tried.into_iter().reduce(|one, other| {
            let (a, b) = (load(&one.1), load(&other.1));
            let shorts = (one.1.operated.short_a().abs(), other.1.operated.short_a().abs());
            if b > a || (b == a && shorts.1 > shorts.0) {
                other
            } else {
                one
            }
        });
        let (mut upset, first, at, to) =
            worse.ok_or(NotSupposed::NothingToTouch("an end that could touch it"))?;
        let opened = self.fuses_open(of, &stands, &mut upset, &first)?;
        let lasting = self.upset_for_ever(of, stands, &upset)?;
        let moment = |result: StateResult| Moment {
            short_a: result.operated.short_a(),
            changes: Changes::between(self, of, &result),
            result,
        };
        Ok(Supposed {
            failing,
            at,
            to,
            first: moment(first),
            opened,
            lasting: moment(lasting),
        })
    }

    /// A wire's touch at each of its ends.
    fn touches(
        &self,
        of: &StateResult,
        stands: &Stands,
        base: &Upset,
        (wire, touch): (usize, Touch),
        tried: &mut Vec<Tried>,
    ) -> Result<(), NotSupposed> {
        let run = self.wiring().wires.get(wire).ok_or(NotSupposed::NoSuchWire)?;
        let record: Option<&Wire> = self.book().get(run.wire);
        let ends = record.map_or([End::Free, End::Free], |w| [w.from, w.to]);
        for (end, node) in ends.into_iter().zip([run.from, run.to]) {
            let (touched, name) = self.touched(touch, end)?;
            if touched == node {
                continue;
            }
            let upset = Upset {
                short: Some((node, touched, SHORT_OHM)),
                ..base.clone()
            };
            let result = self.upset_for_a_moment(of, stands.clone(), &upset)?;
            tried.push((upset, result, Some(end), name));
        }
        Ok(())
    }

    fn touched(&self, touch: Touch, end: End) -> Result<(Node, String), NotSupposed> {
        match touch {
            Touch::Supply => {
                place::supply(self).ok_or(NotSupposed::NothingToTouch("a source that is always on"))
            }
            _ => place::chassis(self, end).ok_or(NotSupposed::NothingToTouch(
                "a ground stud, or a stud named as battery negative",
            )),
        }
    }

    /// Opens one fuse after the other, the one furthest above its rating first.
    fn fuses_open(
        &self,
        of: &StateResult,
        stands: &Stands,
        upset: &mut Upset,
        first: &StateResult,
    ) -> Result<Vec<Opened>, Trouble> {
        let mut opened: Vec<Opened> = Vec::new();
        let mut now = first.clone();
        while opened.len() < MOST_FUSES {
            let over = |zone: &FuseZone| {
                let rating_a = self.book().get(zone.fuse).map(|f: &Fuse| f.rating_a)?;
                let (before_a, current_a) = (zone.current_a(of), zone.current_a(&now));
                let opens = current_a >= OPENS_AT * rating_a && current_a > before_a * 1.01;
                (opens && rating_a > 0.0).then_some((current_a / rating_a, current_a))
            };
            let zones = self.protection().zones.iter();
            let fresh = zones.filter(|z| opened.iter().all(|o| o.fuse != z.fuse));
            let worst = fresh
                .filter_map(|z| Some((z, over(z)?)))
                .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
            let Some((zone, (_, current_a))) = worst else {
                break;
            };
            match zone.at {
                FuseAt::Part(at) => upset.open_parts.push(at),
                FuseAt::Wire(at) => upset.open_wires.push(at),
            }
            opened.push(Opened {
                fuse: zone.fuse,
                current_a,
            });
            // Relays go on from where the moment before has left them.
            upset.pulled = self.pulled(&now);
            now = self.upset_for_a_moment(of, stands.clone(), upset)?;
        }
        Ok(opened)
    }

    /// Coils that are pulled in.
    fn pulled(&self, of: &StateResult) -> HashSet<Id<Part>> {
        let parts = self.wiring().parts.iter().enumerate();
        parts
            .filter(|(at, _)| pulled_in(self, of, *at) == Some(true))
            .map(|(_, run)| run.part)
            .collect()
    }

    /// A state with a fault, its wires as warm as they were.
    pub(super) fn upset_for_a_moment(
        &self,
        of: &StateResult,
        stands: Stands,
        upset: &Upset,
    ) -> Result<StateResult, Trouble> {
        let copper = of.temperatures.copper();
        let operated = operate_upset(&self.given(of, &stands), upset, copper, |_, _| false)?;
        Ok(StateResult {
            state: of.state,
            stands,
            supply_v: of.supply_v,
            operated,
            temperatures: of.temperatures.clone(),
        })
    }

    /// The same once its wires are as warm as they become.
    fn upset_for_ever(
        &self,
        of: &StateResult,
        stands: Stands,
        upset: &Upset,
    ) -> Result<StateResult, Trouble> {
        let copper = of.temperatures.copper();
        let (wiring, warmth) = (self.wiring(), self.warmth());
        let warm = |currents: &[f64], copper: &mut [f64]| warmth.warm(wiring, currents, copper);
        let operated = operate_upset(&self.given(of, &stands), upset, copper, warm)?;
        let currents: Vec<f64> = (0..wiring.wires.len()).map(|at| operated.wire_a(at)).collect();
        Ok(StateResult {
            state: of.state,
            stands,
            supply_v: of.supply_v,
            operated,
            temperatures: warmth.at(&currents),
        })
    }
}
