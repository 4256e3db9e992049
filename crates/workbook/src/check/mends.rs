//! Choosing a mend: the first proposal with which the check passes and the whole list gains no new stop.

use std::{collections::HashSet, sync::Arc};

use super::{Cause, Finding, Level, Mend, Out, rule_broken, run::gather, safer::only_safer};
use crate::{
    analysis::Snapshot,
    edit::Change,
    model::{Key, Wire},
};

/// Proposals that are tried in one report of a book so large that each takes long; [`mend_of`] tries what comes after.
const LEAST_TRIALS: usize = 24;
/// Smaller books have as many more tried as they have fewer wires.
const TRIED_WIRES: usize = 120_000;

/// Ways out that a check proposes for one of its findings, the one it likes best first.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Proposals {
    /// With changes that can be tried.
    pub mends: Vec<Mend>,
    /// What is said where none of them will do.
    pub otherwise: Option<Mend>,
}

/// Gives each finding the first of its proposals that does no harm, and hangs findings that the mend of another one ends
/// as well under that one. Trying stops where `go_on` says so; what was not tried then stays without a computed mend.
pub(super) fn choose(see: &Snapshot, out: &mut Out, go_on: &dyn Fn() -> bool) {
    leave(out);
    let stops_now = stops(&out.findings);
    let most = (TRIED_WIRES / see.book().all::<Wire>().len().max(1)).max(LEAST_TRIALS);
    let mut trials = 0;
    let mut also_ended: Vec<(usize, Vec<Finding>)> = Vec::new();
    for (at, proposals) in std::mem::take(&mut out.proposals) {
        let Some(finding) = out.findings.get_mut(at) else {
            continue;
        };
        let mut go_on = || {
            let go_on = trials < most && go_on();
            trials += usize::from(go_on);
            go_on
        };
        let (chosen, after) = match best(see, finding, &stops_now, proposals.mends, &mut go_on) {
            Best::Found(mend, after) => (Some(mend), after),
            Best::NoneWillDo => (None, Vec::new()),
            Best::Untried => {
                finding.untried = true;
                continue;
            }
        };
        if chosen.is_some() {
            also_ended.push((at, after));
        }
        finding.mend = chosen.or(proposals.otherwise).or(finding.mend.take());
    }
    for (cause, after) in also_ended {
        let Some((check, Some(place), level)) =
            out.findings.get(cause).map(|f| (f.check, f.place(), f.level))
        else {
            continue;
        };
        if out.findings.get(cause).is_some_and(|f| f.follows_from.is_some()) {
            continue;
        }
        for (at, finding) in out.findings.iter_mut().enumerate() {
            // No rule is proven for a trial, so that none can be seen to hold again.
            let judged = finding.check != rule_broken::CHECK.name;
            let lesser = at != cause && judged && finding.level >= level && finding.level != Level::Note;
            if lesser && finding.follows_from.is_none() && ended(finding, &after) {
                finding.follows_from = Some(Cause { check, place });
            }
        }
    }
}

/// What trying the proposals for one finding came to.
enum Best {
    /// This one mends it and brings no new stop; what is found with it.
    Found(Mend, Vec<Finding>),
    /// All were tried.
    NoneWillDo,
    /// Trying was stopped before that was known.
    Untried,
}

/// Tries proposals in their order; before each `go_on` is asked.
fn best(
    see: &Snapshot,
    finding: &Finding,
    stops_now: &HashSet<(&'static str, Option<Key>)>,
    mends: Vec<Mend>,
    go_on: &mut dyn FnMut() -> bool,
) -> Best {
    for mend in mends {
        if !only_safer(&mend.changes) {
            continue;
        }
        if !go_on() {
            return Best::Untried;
        }
        let after = after(see, &mend.changes);
        if ended(finding, &after) && stops(&after).is_subset(stops_now) {
            return Best::Found(mend, after);
        }
    }
    Best::NoneWillDo
}

/// The mend of one finding of a report, where the report says that it was not tried.
pub fn mend_of(see: &Snapshot, check: &str, place: Key) -> Option<Mend> {
    let mut out = gather(see);
    leave(&mut out);
    let stops_now = stops(&out.findings);
    let (finding, proposals) = out.proposals.into_iter().find_map(|(at, proposals)| {
        let finding = out.findings.get(at)?;
        (finding.check == check && finding.place() == Some(place)).then_some((finding, proposals))
    })?;
    match best(see, finding, &stops_now, proposals.mends, &mut || true) {
        Best::Found(mend, _) => Some(mend),
        Best::NoneWillDo | Best::Untried => proposals.otherwise.or_else(|| finding.mend.clone()),
    }
}

/// What was not tried out is told in words only.
pub(super) fn leave(out: &mut Out) {
    for mend in out.findings.iter_mut().filter_map(|f| f.mend.as_mut()) {
        mend.changes.clear();
    }
}

fn stops(findings: &[Finding]) -> HashSet<(&'static str, Option<Key>)> {
    findings
        .iter()
        .filter(|f| f.level == Level::Stop)
        .map(|f| (f.check, f.place()))
        .collect()
}

/// What is found once the changes are made.
fn after(see: &Snapshot, changes: &[Change]) -> Vec<Finding> {
    let mut mended = see.book().clone();
    mended.follow(changes);
    gather(&see.next(Arc::new(mended))).findings
}

/// Whether a finding is no longer there, or but a note.
fn ended(finding: &Finding, after: &[Finding]) -> bool {
    after
        .iter()
        .all(|f| f.level == Level::Note || (f.check, f.place()) != (finding.check, finding.place()))
}
