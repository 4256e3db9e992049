//! Running every check over one snapshot.

use std::{
    collections::{HashMap, HashSet},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use super::{CHECKS, CannotCheck, Finding, Level, Report, accept, mends, mends::Proposals, rule_broken};
use crate::{
    Book,
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{Id, Key, Row, Rule},
    question::Ask,
};

/// Where a check puts what it has to say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Out {
    pub(super) findings: Vec<Finding>,
    pub(super) cannot: Vec<CannotCheck>,
    /// Where a missing fact stands in the list.
    known: HashMap<(Key, String), usize>,
    /// Ways out, by the place of their finding.
    pub(super) proposals: Vec<(usize, Proposals)>,
}

impl Out {
    /// Says a finding.
    pub fn find(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Says a finding for which ways out can be tried.
    pub fn find_with(&mut self, finding: Finding, proposals: Proposals) {
        self.proposals.push((self.findings.len(), proposals));
        self.findings.push(finding);
    }

    /// Says that a fact is missing, at the unit or load it belongs to, and which fields would tell it. The same fact is
    /// asked for once.
    pub fn cannot<R: Row>(
        &mut self,
        check: &'static str,
        place: Id<R>,
        missing: impl Into<String>,
        asks: impl IntoIterator<Item = Ask>,
    ) {
        self.cannot_at(check, Key::of(place), missing, asks);
    }

    /// As [`Out::cannot`], for a record of any kind.
    pub fn cannot_at(
        &mut self,
        check: &'static str,
        place: Key,
        missing: impl Into<String>,
        asks: impl IntoIterator<Item = Ask>,
    ) {
        let at = self.missing(place, missing.into());
        let Some(cannot) = self.cannot.get_mut(at) else {
            return;
        };
        if !cannot.checks.contains(&check) {
            cannot.checks.push(check);
        }
        for ask in asks {
            if !cannot.asks.contains(&ask) {
                cannot.asks.push(ask);
            }
        }
    }

    /// Where a missing fact stands in the list.
    fn missing(&mut self, place: Key, missing: String) -> usize {
        let next = self.cannot.len();
        *self
            .known
            .entry((place, missing))
            .or_insert_with_key(|(_, missing)| {
                self.cannot.push(CannotCheck {
                    checks: Vec::new(),
                    place,
                    missing: missing.clone(),
                    asks: Vec::new(),
                });
                next
            })
    }

    /// What was said of places that this book has, without ways out.
    pub(super) fn still_there(&self, book: &Book) -> Self {
        let is_there = |place: &Key| book.tables().get_ref(*place).is_some();
        let mut there = Self::default();
        let findings = self.findings.iter();
        there
            .findings
            .extend(findings.filter(|f| f.places.iter().all(is_there)).cloned());
        for one in self.cannot.iter().filter(|one| is_there(&one.place)) {
            for check in &one.checks {
                there.cannot_at(check, one.place, one.missing.as_str(), one.asks.iter().cloned());
            }
        }
        there
    }

    /// Takes over what another check had to say.
    fn append(&mut self, other: &Self) {
        let before = self.findings.len();
        self.findings.extend_from_slice(&other.findings);
        let proposals = other.proposals.iter();
        self.proposals
            .extend(proposals.map(|(at, p)| (before + at, p.clone())));
        for one in &other.cannot {
            for check in &one.checks {
                self.cannot_at(check, one.place, one.missing.as_str(), one.asks.iter().cloned());
            }
        }
    }
}

#[cfg(test)]
impl Out {
    /// What was said to be missing, as it came.
    pub fn cannot_check(self) -> Vec<CannotCheck> {
        self.cannot
    }
}

/// Runs every check, and computes the mends.
pub fn run(see: &Snapshot) -> Report {
    run_while(see, &|| true)
}

/// As [`run`], with the rules proven first: a rule that the wiring breaks is a finding.
pub fn run_proven(see: &Snapshot) -> Report {
    see.proof();
    run(see)
}

/// As [`run`]; mends are tried out only as long as `go_on` says so, since that is what takes long on a large book.
pub fn run_while(see: &Snapshot, go_on: &dyn Fn() -> bool) -> Report {
    let mut out = gather(see);
    mends::choose(see, &mut out, go_on);
    finish(see, out)
}

/// As [`run_while`], but gives the whole list to `first` before mends are tried out, as [`run_without_mends`] would.
pub fn run_in_two(see: &Snapshot, first: impl FnOnce(Report), go_on: &dyn Fn() -> bool) -> Report {
    let mut out = gather(see);
    let mut listed = out.clone();
    mends::leave(&mut listed);
    first(finish(see, listed));
    mends::choose(see, &mut out, go_on);
    finish(see, out)
}

/// After an edit that moves figures: the whole list at once, with what checks of the plan alone say now, and what those that
/// rest on figures said of the book before. None: nothing is to be waited for.
pub fn list_at_once(see: &Snapshot) -> Option<Report> {
    if !see.said().waits_for_figures() {
        return None;
    }
    // What most checks of the plan ask for.
    let signals = || {
        see.signals();
    };
    let wiring = || {
        see.wiring();
    };
    let mut out = shared(|place| see.said().at_once(place, see), signals, wiring);
    mends::leave(&mut out);
    Some(finish(see, out))
}

/// Runs every check without trying mends out, which is what takes long on a large book.
pub fn run_without_mends(see: &Snapshot) -> Report {
    let mut out = gather(see);
    mends::leave(&mut out);
    finish(see, out)
}

/// A report with what the proof of the rules says as well, which is worked out for it.
pub fn prove(see: &Snapshot, report: &Report) -> Report {
    see.proof();
    let mut out = Out::default();
    (rule_broken::CHECK.find)(see, &mut out);
    accept::mark(see.book(), &mut out.findings);
    let is_new = |f: &&Finding| f.check != rule_broken::CHECK.name;
    out.findings.extend(report.all().filter(is_new).cloned());
    for one in &report.cannot_check {
        for check in one
            .checks
            .iter()
            .filter(|check| **check != rule_broken::CHECK.name)
        {
            out.cannot_at(check, one.place, one.missing.as_str(), one.asks.iter().cloned());
        }
    }
    order(see, out)
}

/// What every check has to say, in the order of checks.
pub(super) fn gather(see: &Snapshot) -> Out {
    let say = |place| see.said().at(place, see);
    // What most checks ask for.
    let states = || {
        see.states();
    };
    let signals = || {
        see.signals();
    };
    shared(say, states, signals)
}

/// What is said at every place of the table, in its order; the work is shared between two threads, each with its own start.
fn shared(
    say: impl Fn(usize) -> Option<Arc<Out>> + Sync,
    start: impl FnOnce(),
    start_beside: impl FnOnce() + Send,
) -> Out {
    let next = AtomicUsize::new(0);
    let some = || {
        let mut done = Vec::new();
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            match say(place) {
                Some(out) => done.push((place, out)),
                None => return done,
            }
        }
    };
    let mut done = std::thread::scope(|scope| {
        let other = scope.spawn(|| {
            start_beside();
            some()
        });
        start();
        let mut done = some();
        // A check that panics does so here as well.
        done.extend(
            other
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
        );
        done
    });
    let mut all = Out::default();
    done.sort_unstable_by_key(|(place, _)| *place);
    for (_, out) in done {
        all.append(&out);
    }
    all
}

fn finish(see: &Snapshot, mut out: Out) -> Report {
    accept::mark(see.book(), &mut out.findings);
    order(see, out)
}

fn order(see: &Snapshot, out: Out) -> Report {
    let book = see.book();
    let ranks: HashMap<&str, usize> = CHECKS.iter().map(|check| check.name).zip(0..).collect();
    let by_place = |f: &Finding| {
        let name = f.place().map(|p| book.name_of(p)).unwrap_or_default();
        (f.level, ranks.get(f.check), natural(&name))
    };
    let mut all = out.findings;
    rule_broken::hang_under_causes(&mut all);
    all.order_by(by_place);
    let (hanging, mut findings): (Vec<_>, Vec<_>) = all.into_iter().partition(|f| f.follows_from.is_some());
    let mut below: HashMap<_, Vec<Finding>> = HashMap::new();
    let mut ordered = Vec::new();
    let mut heads: HashSet<(&str, Key)> = HashSet::new();
    heads.extend(findings.iter().filter_map(|f| Some((f.check, f.place()?))));
    let before = findings.len();
    for finding in hanging {
        let cause = finding.follows_from.map(|c| (c.check, c.place));
        match cause.filter(|cause| heads.contains(cause)) {
            Some(cause) => below.entry(cause).or_default().push(finding),
            // Its cause is not among the findings, so it stands by itself.
            None => {
                heads.extend(finding.place().map(|place| (finding.check, place)));
                findings.push(Finding {
                    follows_from: None,
                    ..finding
                });
            }
        }
    }
    if findings.len() > before {
        findings.order_by(by_place);
    }
    for finding in findings {
        let key = finding.place().map(|p| (finding.check, p));
        ordered.push(finding);
        ordered.extend(key.and_then(|k| below.remove(&k)).unwrap_or_default());
    }
    let (notes, findings) = ordered.into_iter().partition(|f| f.level == Level::Note);
    let mut cannot_check = out.cannot;
    cannot_check.order_by(|c| (natural(&book.name_of(c.place)), c.missing.clone()));
    Report {
        findings,
        notes,
        cannot_check,
        unproven: match see.proof_at_hand() {
            Some(_) => 0,
            None => book.all::<Rule>().len(),
        },
    }
}
