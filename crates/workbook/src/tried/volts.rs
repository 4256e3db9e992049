//! Voltages that an edit moves.

use std::collections::HashSet;

use crimpbook_core::network::Potential;

use crate::{
    analysis::{Snapshot, StateResult},
    book::{InOrder, natural},
    model::{Cavity, Id, State},
};

/// What moves by less is not told, V (our own: half of what a meter's last digit leaves in doubt on a 20 V range).
pub const MOVES_V: f64 = 0.05;

/// A voltage that moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The state, by label.
    pub state: String,
    /// The cavity, by name.
    pub cavity: String,
    /// Before, V; none: it floats, or is not steady.
    pub was_v: Option<f64>,
    /// Then, V.
    pub is_v: Option<f64>,
}

impl Moved {
    /// By how much, V; what floats on one side is read as about nothing.
    fn by_v(&self) -> f64 {
        (self.is_v.unwrap_or(0.0) - self.was_v.unwrap_or(0.0)).abs()
    }
}

/// Against the unit's own ground, where it has one, as a meter would be held; else against battery negative.
fn volts(see: &Snapshot, of: &StateResult, cavity: Id<Cavity>) -> Option<f64> {
    let volts = see.cavity_volts(of, cavity);
    volts.own_ground_v.or(match volts.negative {
        Potential::At(v) => Some(v),
        _ => None,
    })
}

/// Every voltage of both that moves, those that move most first.
pub(super) fn moved(before: &Snapshot, after: &Snapshot) -> Vec<Moved> {
    if std::ptr::eq(before.states(), after.states()) {
        return Vec::new();
    }
    let (old, new) = (before.book(), after.book());
    let mut all = Vec::new();
    for is in after.states() {
        let Some(was) = before.state(is.state) else {
            continue;
        };
        for cavity in new.all::<Cavity>().keys().filter(|id| old.get(**id).is_some()) {
            let (was_v, is_v) = (volts(before, was, *cavity), volts(after, is, *cavity));
            let moves = match (was_v, is_v) {
                (Some(was), Some(is)) => (is - was).abs() >= MOVES_V,
                (was, is) => was.is_some() != is.is_some(),
            };
            if moves {
                all.push(Moved {
                    state: new.label_of(is.state),
                    cavity: new.cavity_name(*cavity),
                    was_v,
                    is_v,
                });
            }
        }
    }
    all.order_by(|m| (natural(&m.cavity), m.state.clone()));
    all.sort_by(|a, b| b.by_v().total_cmp(&a.by_v()));
    all
}

/// States that are solved on one side only, in words.
pub(super) fn states(before: &Snapshot, after: &Snapshot) -> Vec<String> {
    let solved = |see: &Snapshot| -> HashSet<Id<State>> { see.states().iter().map(|s| s.state).collect() };
    let (was, is) = (solved(before), solved(after));
    let mut all: Vec<String> = Vec::new();
    for (state, trouble) in after.unsolved().iter().filter(|(state, _)| was.contains(state)) {
        let label = after.book().label_of(*state);
        all.push(format!(
            "{label} has no solution then: {}",
            trouble.words(after.book())
        ));
    }
    for state in is.difference(&was) {
        all.push(format!("{} is computed then", after.book().label_of(*state)));
    }
    for state in was.iter().filter(|id| after.book().get(**id).is_none()) {
        all.push(format!("{} goes", before.book().label_of(*state)));
    }
    all.sort();
    all
}
