//! Relays and loads as a fault finds them.

use std::collections::HashSet;

use crimpbook_core::network::Condition;

use crate::{
    analysis::{Snapshot, StateResult},
    circuit::{Stand, Stands, Trouble, Upset},
    model::{Id, Part, PartKind, PartPosition},
};

/// Below this a load that a state has off counts as without supply, V.
const NO_SUPPLY_V: f64 = 1.0;

/// How parts stand when nothing but their own voltage holds the relays, and the coils that are pulled in.
pub(in crate::analysis) struct Freed {
    pub stands: Stands,
    pub pulled: HashSet<Id<Part>>,
}

/// Frees the relays of a state. A coil that its own voltage would move from where the state has it stays as told.
pub(in crate::analysis) fn freed(see: &Snapshot, of: &StateResult) -> Result<Freed, Trouble> {
    let (book, wiring) = (see.book(), see.wiring());
    let pulled: HashSet<Id<Part>> = (0..wiring.parts.len())
        .filter(|at| pulled_in(see, of, *at) == Some(true))
        .filter_map(|at| Some(wiring.parts.get(at)?.part))
        .collect();
    let loads = wake(see, of);
    let upset = Upset {
        pulled: pulled.clone(),
        ..Upset::default()
    };
    let mut keep = HashSet::new();
    loop {
        let stands = loads.clone().freed(book, &keep);
        let alone = see.upset_for_a_moment(of, stands.clone(), &upset)?;
        let before = keep.len();
        for (at, run) in wiring.parts.iter().enumerate() {
            let moved = pulled_in(see, &alone, at).is_some_and(|now| now != pulled.contains(&run.part));
            if moved && matches!(of.stands.get(run.part), Stand::Given(_)) {
                keep.insert(run.part);
            }
        }
        if keep.len() == before {
            return Ok(Freed { stands, pulled });
        }
    }
}

/// Loads and lamps that a state has off because nothing feeds them would run if something did.
fn wake(see: &Snapshot, of: &StateResult) -> Stands {
    let book = see.book();
    let mut stands = of.stands.clone();
    for run in &see.wiring().parts {
        let sleeps = match book.get(run.part).map(|p: &Part| &p.kind) {
            Some(PartKind::Load { asleep_a, .. }) => asleep_a.is_some(),
            Some(PartKind::Lamp { .. }) => false,
            _ => continue,
        };
        let off = of.stands.get(run.part) == Stand::Given(PartPosition::Off);
        let [one, other] = run.ends[..] else { continue };
        let fed = of
            .operated
            .between(one, other)
            .is_some_and(|v| v.abs() >= NO_SUPPLY_V);
        if off && !sleeps && !fed {
            stands = stands.with(run.part, PartPosition::On);
        }
    }
    stands
}

/// Whether a coil is pulled in; none: it is no coil, nobody tells when it would be, or it is only just pulling in.
pub(super) fn pulled_in(see: &Snapshot, of: &StateResult, at: usize) -> Option<bool> {
    let run = see.wiring().parts.get(at)?;
    let part: &Part = see.book().get(run.part)?;
    let PartKind::Coil { pull_in_v, .. } = part.kind else {
        return None;
    };
    pull_in_v?;
    match of.stands.get(part.id) {
        Stand::Given(PartPosition::Starting) => None,
        Stand::Given(position) => Some(position != PartPosition::Off),
        _ => match of.operated.condition(at)? {
            Condition::PulledIn => Some(true),
            Condition::DroppedOut | Condition::Open | Condition::Starved => Some(false),
            // Held by its economiser.
            _ => Some(true),
        },
    }
}
