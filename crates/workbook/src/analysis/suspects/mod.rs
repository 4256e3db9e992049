//! Fault finding: all single faults used backwards. What the vehicle does and a few readings tell which of them fit.
//!
//! [`Signatures`] holds, for one operating state, what every single fault would show: volts at each cavity that a lead
//! can reach, loads, relays and lamps, and what units make of it. A fault has several looks: a wire can be off at either
//! end, a short can lie at either end, a fuse opens or not yet, a unit reacts or loses its feed. [`Inquiry`] holds
//! symptoms and readings against them ([`suspects`]); [`next_places`] says where the next reading tells most.
//!
//! Voltages come from updates of the factorised network, as faults are small changes of it; `tests` hold them against
//! [`super::Snapshot::suppose`], which solves each anew.

mod behave;
mod first;
mod fit;
mod follow;
mod job;
mod look;
mod next;
mod pairs;
mod place;
mod plant;
mod prior;
mod ruin;
mod seen;
mod solve;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_moments;
mod typed;
mod watch;
mod ways;
mod words;

use std::sync::Arc;

pub use first::{First, FirstMeasure, MOST_MEASURES, first_measures};
pub use fit::{Found, Inquiry, Item, Line, Suspect, Unfit, in_all, suspects};
pub use look::{How, Look, Volt, Window};
pub use next::{Next, Shows, next_places};
pub use pairs::Pair;
pub use place::Place;
pub use prior::{PRIOR_WORDS, prior};
pub use ruin::{RUINING_WORDS, Ruin};
pub use typed::{NotTyped, reading, seen_or_read, symptom, volts_alone};
pub use watch::{Symptom, Watch, Watched};
pub use words::CAUTIONS;

use super::{
    Snapshot, StateResult,
    suppose::{Failing, NotSupposed},
};
use crate::model::{About, Id, State};

/// The supply that readings are held against, V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// What is computed with.
    pub volts_v: f64,
    /// It may be as low as this.
    pub least_v: f64,
    /// It may be as high as this.
    pub most_v: f64,
    /// Somebody read it at the battery's posts.
    pub read: bool,
}

/// A battery is read to so much, V (our own).
const READ_V: f64 = 0.1;

/// What one fault would show.
#[derive(Debug, Clone)]
pub struct Signature {
    /// The fault.
    pub failing: Failing,
    /// All it may look like; none: see `cannot`.
    pub looks: Vec<Look>,
    /// What could not be computed of it: it is never ruled out.
    pub cannot: Option<String>,
}

/// What every single fault would show in one operating state.
#[derive(Debug, Clone)]
pub struct Signatures {
    /// The state.
    pub state: Id<State>,
    /// The supply.
    pub supply: Supply,
    /// Where leads can be put.
    pub places: Vec<Place>,
    /// What can be seen or heard.
    pub watched: Vec<Watched>,
    /// Every single fault.
    pub faults: Vec<Signature>,
    /// Parts whose position in the state is an assumption, or that switch to and fro, by label.
    pub assumed: Vec<String>,
    /// Expressions that cannot be read, and why.
    pub unread: Vec<String>,
    /// Wires of which nobody can say whether they would burn, by label: size or class of insulation is missing.
    pub unweighed: Vec<String>,
    /// Without a fault, beside `places`.
    usual: Vec<Volt>,
    /// How much poor contacts and warm wires move it, beside `places`, V.
    give_v: Vec<f64>,
}

impl Snapshot {
    /// What every single fault would show in a state; `supply_v`: volts at the battery's posts, where somebody read them.
    ///
    /// # Errors
    /// [`NotSupposed`] where the state itself has no solution at that supply.
    pub fn signatures(
        &self,
        of: &StateResult,
        supply_v: Option<f64>,
    ) -> Result<Arc<Signatures>, NotSupposed> {
        self.signatures_of(of, supply_v, true)
    }

    /// The same, without wires that touch something where `touches` is not set: those take most of the time.
    ///
    /// # Errors
    /// As [`Snapshot::signatures`].
    pub fn signatures_of(
        &self,
        of: &StateResult,
        supply_v: Option<f64>,
        touches: bool,
    ) -> Result<Arc<Signatures>, NotSupposed> {
        let supply = self.supply_of(of, supply_v);
        let at;
        let of = if (supply.volts_v - of.supply_v).abs() > 1e-9 {
            at = self.at_supply(of, supply.volts_v, &mut crate::circuit::Ready::default())?;
            &at
        } else {
            of
        };
        let plant = plant::Plant::of(self, of)?;
        Ok(Arc::new(plant.signatures(supply, touches)?))
    }

    fn supply_of(&self, of: &StateResult, read: Option<f64>) -> Supply {
        let about = self.book().all::<About>().values().next().map(|a| a.supply);
        match (read, about) {
            (Some(volts_v), _) => Supply {
                volts_v,
                least_v: volts_v - READ_V,
                most_v: volts_v + READ_V,
                read: true,
            },
            (None, about) => Supply {
                volts_v: of.supply_v,
                least_v: about.map_or(of.supply_v, |s| s.least_v).min(of.supply_v),
                most_v: about.map_or(of.supply_v, |s| s.most_v).max(of.supply_v),
                read: false,
            },
        }
    }
}
