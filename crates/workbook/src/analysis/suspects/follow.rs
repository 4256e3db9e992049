//! What follows from a fault: outputs that units then drive otherwise, units without their feed.

use std::collections::BTreeMap;

use crimpbook_core::network::Solution;

use super::{
    job::{Job, MOST_ROUNDS},
    look::How,
    plant::Plant,
    solve::Base,
};
use crate::{
    analysis::{Snapshot, StateResult, suppose::Reads},
    circuit::Stand,
    model::{Cavity, Id, Part, PartKind, PartPosition, SignalKind, Terminal, Unit},
};

/// How a look with a unit dead counts beside what lasts (our own).
const UNFED: f64 = 0.5;

/// A unit that drives something, what feeds it, and what it drives.
pub(super) struct Fed {
    pub loads: Vec<usize>,
    pub drives: Vec<usize>,
}

impl Plant<'_> {
    /// What follows: outputs that units now drive otherwise, units without their feed.
    pub(super) fn follows(
        &self,
        base: &Base<'_>,
        job: &Job,
        solution: &Solution,
        levels: &[Reads],
    ) -> Vec<Job> {
        let mut all = Vec::new();
        if job.rounds >= MOST_ROUNDS {
            return all;
        }
        let stood = |at: usize| self.part_on(solution, base.standing, &base.holding, at);
        let (mut turned, mut guess) = (job.clone(), job.clone());
        let (mut turns, mut guesses) = (false, false);
        for ((part, term), usual) in self.behaviour.driven.iter().zip(&self.drives) {
            let Some(usual) = usual.filter(|_| !job.dead.contains(part)) else {
                continue;
            };
            let now = job.stands(*part, usual);
            match term.holds(levels, &stood) {
                Some(on) if on != now => {
                    turned.turn(*part, on, usual);
                    turns = true;
                }
                None if !job.guessed => {
                    guess.turn(*part, !now, usual);
                    guesses = true;
                }
                _ => {}
            }
        }
        let (rounds, first_told) = (job.rounds + 1, true);
        if turns {
            all.push(Job {
                rounds,
                first_told,
                ..turned
            });
        } else if guesses {
            // Neither on nor off: both are reckoned with.
            all.push(Job {
                rounds,
                first_told,
                guessed: true,
                ..guess
            });
        }
        let mut dead: Vec<usize> = Vec::new();
        for fed in &self.fed {
            let lost = |at: &usize| stood(*at) == Some(false);
            if fed.loads.iter().any(lost) {
                dead.extend(&fed.drives);
            }
        }
        dead.sort_unstable();
        if !turns && dead.iter().any(|at| !job.dead.contains(at)) {
            dead.extend(&job.dead);
            dead.sort_unstable();
            dead.dedup();
            all.push(Job {
                turned: job
                    .turned
                    .iter()
                    .copied()
                    .filter(|(at, _)| !dead.contains(at))
                    .collect(),
                dead,
                how: if job.how == How::Burnt {
                    How::Burnt
                } else {
                    How::Unfed
                },
                weight: job.weight * if job.how == How::Unfed { 1.0 } else { UNFED },
                rounds,
                first_told,
                ..job.clone()
            });
        }
        all
    }
}

/// Units that drive something: which loads are their feed, which parts they drive and have on in this state.
pub(super) fn fed(see: &Snapshot, of: &StateResult) -> Vec<Fed> {
    let (book, wiring) = (see.book(), see.wiring());
    let mut units: BTreeMap<Id<Unit>, Fed> = BTreeMap::new();
    for (at, run) in wiring.parts.iter().enumerate() {
        let Some(part): Option<&Part> = book.get(run.part) else {
            continue;
        };
        let supplies = |end: &Terminal| match end {
            Terminal::Cavity(id) => book.get(*id).is_some_and(|c: &Cavity| {
                matches!(c.kind, Some(SignalKind::LogicSupply | SignalKind::SupplyIn))
            }),
            _ => false,
        };
        let off = matches!(
            of.stands.get(part.id),
            Stand::Given(PartPosition::Off) | Stand::Unknown
        );
        let entry = || Fed {
            loads: Vec::new(),
            drives: Vec::new(),
        };
        match &part.kind {
            PartKind::Load { .. } if part.ends.first().is_some_and(supplies) && !off => {
                units.entry(part.unit).or_insert_with(entry).loads.push(at);
            }
            PartKind::Output { .. }
            | PartKind::Reference { .. }
            | PartKind::Source { switched: true, .. }
                if !off =>
            {
                units.entry(part.unit).or_insert_with(entry).drives.push(at);
            }
            _ => {}
        }
    }
    let both = |fed: &Fed| !fed.loads.is_empty() && !fed.drives.is_empty();
    units.into_values().filter(both).collect()
}
