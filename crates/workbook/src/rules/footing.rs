//! What each rule rests on: the records that decide what it reads, so that an edit can tell which rules it opens again.
//!
//! From a rule's words to what is read and moved, and from there through the circuit: all that hangs together with a read, however
//! movers stand, up to what battery and chassis hold; the ways on which that is fed and led back; and what shares a fuse with those
//! ways, since a touch there opens it; and what hangs on a unit's own ground, which may be lost. What lies beyond another fuse moves
//! millivolts and is left out; a read that moves all the same opens the rule. A short there, or a ground lost that units share, can
//! still reach every rule: which of them that changes only the proof tells.

use super::{
    hang::{Footing, Hang},
    model::sorted_rules,
    proof::MOST_FREE,
};
use crate::{
    analysis::{Snapshot, Touched},
    model::{Id, Key, Kind, Part, PartKind, Rule},
};

/// A read that moves by so much in an operating state opens the rule, V (our own: what a meter's last digit leaves in doubt).
const MOVES_V: f64 = 0.05;

/// Which rules an edit opens again.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Footings {
    /// Rules that are open again, and what of it is why, in words.
    pub open: Vec<(Id<Rule>, String)>,
    /// Rules that rest on nothing it touches: without a fault, with what is off or stuck, but for shorts and shared grounds.
    pub stay: Vec<Id<Rule>>,
}

impl Footings {
    /// Which rules rest on something that differs between two books.
    pub fn between(before: &Snapshot, after: &Snapshot) -> Self {
        let changed = Touched::between(before.book(), after.book()).changed;
        let mut this = Self::default();
        // Temperatures, contacts and sources reach everywhere.
        let all = changed.iter().find(|key| {
            let source = |see: &Snapshot| {
                let part: Option<&Part> = key.as_id().and_then(|id| see.book().get(id));
                part.is_some_and(|p| matches!(p.kind, PartKind::Source { .. }))
            };
            matches!(
                key.kind,
                Kind::About | Kind::Zone | Kind::Bundle | Kind::ContactFamily
            ) || source(before)
                || source(after)
        });
        let mut known: Vec<Id<Rule>> = Vec::new();
        let (was, is) = (Hang::of(before), Hang::of(after));
        for see in [after, before] {
            for rule in sorted_rules(see.book()) {
                if known.contains(&rule.id) {
                    continue;
                }
                known.push(rule.id);
                let (old, new) = (was.footing(rule.id), is.footing(rule.id));
                let touched = all.or_else(|| {
                    let mut touched = changed.iter();
                    touched.find(|key| old.records.contains(key) || new.records.contains(key))
                });
                let provable = || {
                    let differs = hinders(&was, rule.id) != hinders(&is, rule.id);
                    differs.then(|| "what it takes to prove it".to_owned())
                };
                let why = touched
                    .map(|key| name(after, before, *key))
                    .or_else(provable)
                    .or_else(|| moved(before, after, &old, &new));
                match why {
                    Some(why) => this.open.push((rule.id, why)),
                    None => this.stay.push(rule.id),
                }
            }
        }
        this
    }
}

fn name(after: &Snapshot, before: &Snapshot, key: Key) -> String {
    let there = after.book().tables().get(key).is_some();
    let book = if there { after.book() } else { before.book() };
    if key.kind == Kind::About {
        "the supply and temperatures".to_owned()
    } else {
        book.name_of(key)
    }
}

/// A read that moves in a state, in words.
fn moved(before: &Snapshot, after: &Snapshot, old: &Footing, new: &Footing) -> Option<String> {
    for is in after.states() {
        let Some(was) = before.state(is.state) else {
            continue;
        };
        for (key, [at, ground]) in &new.reads {
            let then = is.operated.between(*at, *ground);
            let now = old.reads.get(key).and_then(|[a, b]| was.operated.between(*a, *b));
            let moves = match (now, then) {
                (Some(now), Some(then)) => (then - now).abs() >= MOVES_V,
                (now, then) => now.is_some() != then.is_some(),
            };
            if moves {
                let state = after.book().label_of(is.state);
                return Some(format!("volts at {} in {state}", after.book().name_of(*key)));
            }
        }
    }
    None
}

/// Why a rule cannot be proven; none: it can, or it says nothing of the wiring.
fn hinders<'h>(hang: &'h Hang<'_>, rule: Id<Rule>) -> Option<&'h str> {
    let cannot = hang.model.cannot.iter().find(|(id, _)| *id == rule);
    let missing = if hang.see.wiring().reference.is_none() {
        Some("battery negative")
    } else if hang.model.free.len() > MOST_FREE {
        Some("too many switches")
    } else {
        None
    };
    cannot.map(|(_, why)| why.as_str()).or(missing)
}
