//! Solving a job from a circuit made ready.

use std::{
    cmp::Reverse,
    collections::{BTreeMap, HashSet},
    sync::atomic::{AtomicUsize, Ordering},
};

use crimpbook_core::network::{
    Change, Condition, ElementId, Faults, FuseGate, Moments, Network, NodeId, OperatingPoint, Solution,
};

use super::{
    job::{Job, Key, MOST_ROUNDS},
    look::{How, Look},
    place::Place,
    plant::Plant,
    ruin::burnt_through,
    ways::Act,
};
use crate::{
    analysis::{protect::FuseAt, suppose::SHORT_OHM},
    circuit::{Stand, Standing, Trouble},
    model::{ContactForm, Fuse, Id, PartKind},
};

/// How a look counts beside what lasts: before a fuse opens, before units react (our own).
const AT_FIRST: f64 = 0.1;
const BEFORE: f64 = 0.3;

/// From so many jobs on a circuit keeps both threads busy.
const MANY: usize = 100;

/// What a job came to.
pub(super) struct Answered {
    pub fault: usize,
    pub looks: Vec<Look>,
    pub next: Vec<Job>,
    pub cannot: Option<String>,
}

/// A circuit made ready for faults.
pub(super) struct Base<'b> {
    pub standing: &'b Standing,
    pub faults: Faults<'b>,
    pub gates: Vec<(FuseGate, Id<Fuse>)>,
    pub holding: HashSet<usize>,
    /// Beside the plant's places: the circuit's nodes there.
    pub places: Vec<Option<(NodeId, NodeId)>>,
}

impl Plant<'_> {
    /// Answers a round's jobs, in order: circuits with many one after the other by two threads together, the others side by
    /// side, longest first. They begin at `near`, which differs from each in a few parts only.
    pub(super) fn round(
        &self,
        alike: &Network,
        near: &OperatingPoint<'_>,
        round: &[(Key, Vec<Job>)],
    ) -> Result<Vec<Answered>, Trouble> {
        let of = |(key, jobs): &(Key, Vec<Job>), split| {
            let standing = self.standing(key);
            let network = alike.again(standing.circuit.clone());
            let network = network.map_err(|e| Trouble::Unsolved(e.to_string()))?;
            Ok(self.answers(&standing, (&network, near), key, jobs, split))
        };
        let mut done: BTreeMap<usize, Result<Vec<Answered>, Trouble>> = BTreeMap::new();
        let (many, mut few): (Vec<usize>, Vec<usize>) = (0..round.len())
            .partition(|at| round.len() == 1 || round.get(*at).is_some_and(|r| r.1.len() > MANY));
        for (at, one) in many.iter().filter_map(|at| Some((*at, round.get(*at)?))) {
            done.insert(at, of(one, true));
        }
        few.sort_by_key(|at| Reverse(round.get(*at).map_or(0, |one| one.1.len())));
        let next = AtomicUsize::new(0);
        let some = || {
            let mut done: BTreeMap<usize, Result<Vec<Answered>, Trouble>> = BTreeMap::new();
            while let Some(at) = few.get(next.fetch_add(1, Ordering::Relaxed)) {
                if let Some(one) = round.get(*at) {
                    done.insert(*at, of(one, false));
                }
            }
            done
        };
        done.extend(std::thread::scope(|scope| {
            let other = scope.spawn(some);
            let mut done = some();
            // A thread that panicked leaves its circuits to this one.
            done.extend(other.join().unwrap_or_default());
            done
        }));
        let mut all = Vec::new();
        for (at, one) in round.iter().enumerate() {
            all.extend(done.remove(&at).unwrap_or_else(|| of(one, true))?);
        }
        Ok(all)
    }

    fn answers(
        &self,
        standing: &Standing,
        (network, near): (&Network, &OperatingPoint<'_>),
        key: &Key,
        jobs: &[Job],
        split: bool,
    ) -> Vec<Answered> {
        let failed = |why: String| {
            let all = jobs.iter().map(|job| Answered {
                fault: job.fault,
                looks: Vec::new(),
                next: Vec::new(),
                cannot: Some(why.clone()),
            });
            all.collect()
        };
        let point = match network.operate_near(&self.start(standing), near) {
            Ok(point) => point,
            Err(why) => return failed(why.to_string()),
        };
        let base = Base {
            standing,
            faults: point.faults().keeping_answers(&self.deaths(standing)),
            gates: self.fuse_gates(standing),
            holding: key.holding.iter().copied().collect(),
            places: self.nodes(standing),
        };
        let gates: Vec<FuseGate> = base.gates.iter().map(|(gate, _)| *gate).collect();
        let some = |jobs: &[Job]| -> Vec<Answered> {
            jobs.iter().map(|job| self.answer(&base, &gates, job)).collect()
        };
        if jobs.len() < 4 || !split {
            return some(jobs);
        }
        // Hard faults lie side by side: taken in turn, two threads end together.
        let (mut even, mut odd) = (Vec::new(), Vec::new());
        for (n, job) in jobs.iter().enumerate() {
            if n % 2 == 0 { &mut even } else { &mut odd }.push(job.clone());
        }
        std::thread::scope(|scope| {
            let other = scope.spawn(|| some(&odd));
            let even = some(&even);
            // A thread that panicked leaves its jobs to this one.
            let odd = other.join().unwrap_or_else(|_| some(&odd));
            let mut odd = odd.into_iter();
            // In the order of the jobs, so that looks stand in the same order however many threads there were.
            even.into_iter()
                .flat_map(|one| std::iter::once(one).chain(odd.next()))
                .collect()
        })
    }

    /// A circuit's nodes where leads can be put.
    pub(super) fn nodes(&self, standing: &Standing) -> Vec<Option<(NodeId, NodeId)>> {
        let nodes = |place: &Place| {
            let [at, ground] = place.nodes.map(|node| standing.node(node));
            at.zip(ground)
        };
        self.places.iter().map(nodes).collect()
    }

    /// What units without their feed come to: many faults share it.
    fn deaths(&self, standing: &Standing) -> Vec<Change> {
        let drives = self.fed.iter().flat_map(|fed| &fed.drives);
        let links = drives.filter_map(|at| standing.parts.get(*at));
        let elements = links.flat_map(|link| [link.main, link.other]);
        elements.flatten().map(Change::Open).collect()
    }

    /// Fuses as they sit in a circuit.
    pub(super) fn fuse_gates(&self, standing: &Standing) -> Vec<(FuseGate, Id<Fuse>)> {
        let element = |at: FuseAt| match at {
            FuseAt::Part(at) => standing.parts.get(at)?.main,
            FuseAt::Wire(at) => standing.wires.get(at).copied(),
        };
        let gate = |(at, id, opens_a): &(FuseAt, Id<Fuse>, f64)| {
            let (fuse, opens_a) = (element(*at)?, *opens_a);
            Some((FuseGate { fuse, opens_a }, *id))
        };
        self.gates.iter().filter_map(gate).collect()
    }

    fn answer(&self, base: &Base<'_>, gates: &[FuseGate], job: &Job) -> Answered {
        let mut answered = Answered {
            fault: job.fault,
            looks: Vec::new(),
            next: Vec::new(),
            cannot: None,
        };
        let changes = self.changes(base.standing, job);
        let gates = if job.how == How::AtFirst { &[][..] } else { gates };
        let moments = match base.faults.moments(&changes, gates) {
            Ok(moments) => moments,
            Err(why) => {
                answered.cannot = Some(why.to_string());
                return answered;
            }
        };
        let fuses = opened(base, &moments);
        if !fuses.is_empty() && !job.first_told {
            let first = moments.first.solution();
            let at_first = Job {
                how: How::AtFirst,
                weight: job.weight * AT_FIRST,
                rounds: job.rounds + 1,
                ..job.clone()
            };
            match self.rehold(base, &first) {
                Some(holding) => answered.next.push(Job { holding, ..at_first }),
                None => {
                    let mut look = self.look(base, &at_first, &first, &[]).0;
                    let hurt = self.hurt_meanwhile(base, &first, &moments.opened);
                    look.ruins = hurt.or(look.ruins);
                    answered.next.extend(burnt_through(job, &look));
                    answered.looks.push(look);
                }
            }
        }
        let lasting = moments.last().solution();
        if let Some(holding) = self.rehold(base, &lasting) {
            if job.rounds >= MOST_ROUNDS {
                answered.cannot = Some("a coil's economiser does not settle".to_owned());
                return answered;
            }
            answered.next.push(Job {
                holding,
                rounds: job.rounds + 1,
                first_told: true,
                ..job.clone()
            });
            return answered;
        }
        let (mut look, levels) = self.look(base, job, &lasting, &fuses);
        if job.how == How::AtFirst {
            answered.looks.push(look);
            return answered;
        }
        answered.next.extend(self.follows(base, job, &lasting, &levels));
        answered.next.extend(burnt_through(job, &look));
        if answered
            .next
            .iter()
            .any(|next| next.how == How::Lasting && !next.guessed)
        {
            look.how = How::Before;
            look.weight *= BEFORE;
        }
        answered.looks.push(look);
        answered
    }

    /// Coils that their economisers hold now, where that is not what the circuit was made ready for.
    pub(super) fn rehold(&self, base: &Base<'_>, solution: &Solution) -> Option<Vec<usize>> {
        let mut holding = base.holding.clone();
        for at in &self.economisers {
            let Some(part) = self.part(*at) else { continue };
            if !matches!(self.stands.get(part.id), Stand::Follows(_)) {
                continue;
            }
            let element = base.standing.parts.get(*at).and_then(|l| l.main);
            match element.map(|e| solution.condition(e)) {
                Some(Condition::PulledIn) => holding.insert(*at),
                Some(Condition::Starved | Condition::Open) => holding.remove(at),
                _ => false,
            };
        }
        (holding != base.holding).then(|| {
            let mut holding: Vec<usize> = holding.into_iter().collect();
            holding.sort_unstable();
            holding
        })
    }

    pub(super) fn changes(&self, standing: &Standing, job: &Job) -> Vec<Change> {
        let mut all: Vec<Change> = Vec::new();
        let mut open = |element: Option<ElementId>| {
            if let Some(change) = element.map(Change::Open).filter(|c| !all.contains(c)) {
                all.push(change);
            }
        };
        for at in job.off() {
            let link = standing.parts.get(at).copied().unwrap_or_default();
            open(link.main);
            open(link.other);
        }
        for act in &job.acts {
            match *act {
                Act::OpenWire(at) => open(standing.wires.get(at).copied()),
                Act::OpenContact(at) => open(standing.contacts.get(at).copied()),
                Act::OpenPath(at) => open(standing.paths.get(at).copied()),
                Act::OpenPart(at) => open(standing.parts.get(at).and_then(|l| l.main)),
                Act::Stuck(..) | Act::Short(..) => {}
            }
        }
        for act in &job.acts {
            match *act {
                Act::Stuck(at, operated) => all.extend(self.stuck(standing, at, operated)),
                Act::Short(one, other) => {
                    if let (Some(a), Some(b)) = (standing.node(one), standing.node(other)) {
                        all.push(Change::Bridge {
                            a,
                            b,
                            ohms: SHORT_OHM,
                        });
                    }
                }
                _ => {}
            }
        }
        all
    }

    fn stuck(&self, standing: &Standing, at: usize, operated: bool) -> Vec<Change> {
        let form = self.part(at).and_then(|part| match part.kind {
            PartKind::Contact { form, .. } => Some(form),
            _ => None,
        });
        let when_operated = form != Some(ContactForm::NormallyClosed);
        let contacts = standing.contacts_of(at).into_iter().enumerate();
        let change = |(n, element)| {
            // The second of a change-over contact closes at rest.
            let closed = operated == (when_operated == (n == 0));
            if closed {
                Change::Closed(element)
            } else {
                Change::Open(element)
            }
        };
        contacts.map(change).collect()
    }
}

/// Fuses that a fault opens.
fn opened(base: &Base<'_>, moments: &Moments<'_>) -> Vec<Id<Fuse>> {
    let fuse = |(element, _): &(ElementId, f64)| {
        let gate = base.gates.iter().find(|(gate, _)| gate.fuse == *element);
        gate.map(|(_, id)| *id)
    };
    let mut all: Vec<Id<Fuse>> = moments.opened.iter().filter_map(fuse).collect();
    all.dedup();
    all
}
