//! Settling: from how the movers stand to what is read, to how they then stand, until nothing changes; for all combinations of switches
//! at once.

mod case;
mod reads;
mod tree;

use std::{collections::HashMap, sync::Arc};

use crimpbook_core::rule::{Diagrams, FALSE, Function, TRUE};

use super::{
    cone::{Decided, Step, step},
    graph::{Element, Graph},
    model::{Moves, Read, Term},
    plant::{Base, OnSet, Plant, Solved},
};
use crate::{analysis::suppose::Reads, circuit::Node};

/// In which combinations something may be on, and in which it may be off; in both where that is not sure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct May {
    pub on: Function,
    pub off: Function,
}

/// From the so many-th mover on only both extremes are tried: all others off, all others on. What is read is rough then.
pub(super) const DEEPEST: usize = 8;
/// Networks solved at most, a fault, to look at what that leaves open without this limit.
const MOST_SOLVED: usize = 1024;
/// So many that nobody tells are tried each both ways; more all together.
const MOST_UNTOLD: usize = 3;
/// From this round on what changes to and fro counts as not sure.
const WIDE_FROM: usize = 8;
/// Rounds at most; widening ends it long before.
const MOST_ROUNDS: usize = 200;

/// What decides a read, found as it is asked for.
#[derive(Debug, Clone, Default)]
struct Tree {
    nodes: Vec<Branch>,
    movers: Vec<usize>,
}

#[derive(Debug, Clone)]
enum Branch {
    Unknown,
    Decide { mover: usize, off: usize, on: usize },
    Leaf(Leaf),
}

/// All that matters is decided.
#[derive(Debug, Clone)]
struct Leaf {
    /// Too many movers decide: only extremes are solved.
    rough: bool,
    /// One solution, or several where movers take part that nobody tells, or both extremes.
    solved: Vec<Arc<Solved>>,
    /// The first without the fault.
    before: Arc<Solved>,
    points: Arc<Vec<Node>>,
}

/// The circuit with a fault, or without.
#[derive(Debug, Clone)]
pub(super) struct Case {
    gone: Vec<Element>,
    touching: Option<(Node, Node)>,
    graph: Graph,
    /// Fuses that may be blown, by mover.
    moving: Vec<bool>,
    /// Points where the fault changes how things hang together; none: nowhere.
    changed: Option<Vec<bool>>,
    /// Reads that the fault reaches.
    own: Vec<bool>,
    /// Beside the reads; the last is the fault's own place.
    trees: Vec<Tree>,
    solved: HashMap<(OnSet, Vec<u32>), Arc<Solved>>,
    /// Volts of every point while points touch, in one position of the movers.
    pulled: Option<Vec<Option<f64>>>,
}

/// What is made of reads that too many movers decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rough {
    /// What both extremes say.
    Extremes,
    /// They may be on and may be off: nothing is overlooked.
    Unsure,
}

/// From where settling begins.
#[derive(Debug, Clone, Copy)]
pub(super) enum From<'a> {
    /// Switch-on: all that switches do not move is off.
    SwitchOn,
    /// In service without the fault.
    Service,
    /// As it stands.
    Here(&'a Settled),
}

/// How all stands once nothing changes.
#[derive(Debug, Clone)]
pub(super) struct Settled {
    pub movers: Vec<May>,
    pub reads: Vec<May>,
}

/// Everything that one thread works with.
#[derive(Clone)]
pub(super) struct Run<'p> {
    pub plant: &'p Plant<'p>,
    pub bases: &'p [Base<'p>],
    pub diagrams: Diagrams,
    /// Combinations that there are: a switch is in one of its positions.
    pub domain: Function,
    /// Of each switch, its positions.
    positions: Vec<Vec<Function>>,
    healthy: Case,
    /// Reads that rules rest on; those behind are only looked at.
    needed: usize,
    /// The first settled state without a fault, and the points each read rests on there.
    pub settled: Settled,
    /// The same with rough reads not sure; none where nothing is rough.
    pub wary: Option<Settled>,
    /// What is made of rough reads.
    rough: Rough,
    /// Rough reads were met since this was last cleared.
    pub met_rough: bool,
    /// Movers that decide one read before it is rough.
    deepest: usize,
    /// Networks that may still be solved.
    left: usize,
    touches: Vec<Vec<bool>>,
    /// Volts of every point without a fault, in the position of the movers in which most are on.
    volts: Arc<Vec<Option<f64>>>,
}

impl<'p> Run<'p> {
    /// Settles without a fault.
    pub(super) fn new(plant: &'p Plant<'p>, needed: usize) -> Self {
        let mut diagrams = Diagrams::new();
        let (mut domain, mut positions) = (TRUE, Vec::new());
        for free in &plant.model.free {
            let of: Vec<Function> = (0..free.positions)
                .map(|at| {
                    (0..free.choices).fold(TRUE, |all, bit| {
                        let choice = diagrams.choice(free.first + bit);
                        if at >> bit & 1 == 1 {
                            diagrams.and(all, choice)
                        } else {
                            diagrams.without(all, choice)
                        }
                    })
                })
                .collect();
            let any = of.iter().fold(FALSE, |any, one| diagrams.or(any, *one));
            domain = diagrams.and(domain, any);
            positions.push(of);
        }
        let healthy = Case::of(plant, Vec::new(), None);
        let nothing = Settled {
            movers: Vec::new(),
            reads: Vec::new(),
        };
        let mut this = Self {
            plant,
            bases: &[],
            diagrams,
            domain,
            positions,
            healthy,
            needed,
            settled: nothing,
            wary: None,
            rough: Rough::Extremes,
            met_rough: false,
            deepest: DEEPEST,
            left: usize::MAX,
            touches: Vec::new(),
            volts: Arc::default(),
        };
        let mut healthy = this.healthy.clone();
        this.settled = this.settle(&mut healthy, From::SwitchOn, None, false);
        this.healthy = healthy;
        for read in 0..plant.model.reads.len() {
            let movers = this.settled.movers.clone();
            let (may, touched) = this.healthy_read(read, &movers);
            if read >= needed {
                this.settled.reads.push(may);
            }
            this.touches.push(touched);
        }
        if this.met_rough {
            this.wary = Some(this.warily(|run| {
                let mut healthy = run.healthy.clone();
                run.settle(&mut healthy, From::SwitchOn, None, false)
            }));
        }
        this
    }

    /// A copy that looks at these combinations only, and at as many movers as decide there.
    pub(super) fn narrowed(&self, domain: Function) -> Self {
        let mut copy = self.clone();
        copy.domain = domain;
        (copy.deepest, copy.left) = (usize::MAX, MOST_SOLVED);
        copy.healthy.trees.fill(Tree::default());
        copy.met_rough = false;
        copy
    }

    /// Does something with rough reads not sure.
    pub(super) fn warily<R>(&mut self, does: impl FnOnce(&mut Self) -> R) -> R {
        self.rough = Rough::Unsure;
        let done = does(self);
        self.rough = Rough::Extremes;
        done
    }

    /// A copy that solves faults from circuits made ready.
    pub(super) fn ready<'b>(&self, bases: &'b [Base<'b>]) -> Run<'b>
    where
        'p: 'b,
    {
        let mut copy: Run<'b> = self.clone();
        copy.bases = bases;
        if let Some(base) = copy.busiest() {
            copy.volts = Arc::new(base.volts(self.plant, None));
        }
        copy
    }

    fn busiest(&self) -> Option<&'p Base<'p>> {
        self.bases.iter().max_by_key(|base| base.on.len())
    }

    /// The positions that were solved without a fault.
    pub(super) fn solved(&self) -> Vec<OnSet> {
        let mut all: Vec<OnSet> = self.healthy.solved.keys().map(|(on, _)| on.clone()).collect();
        all.sort();
        all
    }

    /// Settles with a fault. `opens`: fuses that are overloaded blow.
    pub(super) fn settle(
        &mut self,
        case: &mut Case,
        from: From<'_>,
        stuck: Option<(usize, bool)>,
        opens: bool,
    ) -> Settled {
        let plant = self.plant;
        let off = May {
            on: FALSE,
            off: self.domain,
        };
        let mut movers = match from {
            From::Service => match (&self.wary, self.rough) {
                (Some(wary), Rough::Unsure) => wary.movers.clone(),
                _ => self.settled.movers.clone(),
            },
            From::Here(settled) => settled.movers.clone(),
            From::SwitchOn => {
                let off = vec![off; plant.model.movers.len()];
                let mut all = off.clone();
                for at in 0..all.len() {
                    // What only a switch moves stands where that is.
                    let Some(may) = self.moved(at, &off, &[], &[]) else {
                        continue;
                    };
                    if let Some(place) = all.get_mut(at) {
                        *place = may;
                    }
                }
                all
            }
        };
        force(&mut movers, stuck, self.domain);
        let mut reads: Vec<Option<May>> = vec![None; self.needed];
        if matches!(from, From::Service) && case.touching.is_none() && self.wary.is_none() {
            for (read, place) in reads.iter_mut().enumerate() {
                if !case.reaches(self.touches.get(read)) {
                    *place = self.settled.reads.get(read).copied();
                }
            }
            if let Some((mover, _)) = stuck {
                self.forget(case, &mut reads, &[mover]);
            }
        }
        for round in 0..MOST_ROUNDS {
            self.refit(case, &movers, &mut reads);
            for (read, place) in reads.iter_mut().enumerate() {
                if place.is_none() {
                    *place = Some(self.read(case, read, &movers));
                }
            }
            let known: Vec<May> = reads.iter().map(|r| r.unwrap_or(off)).collect();
            let named = self.named(&movers, &known);
            let mut next = movers.clone();
            for (at, place) in next.iter_mut().enumerate() {
                if let Some(may) = self.moved(at, &movers, &known, &named) {
                    *place = may;
                }
            }
            if opens {
                self.blow(case, &movers, &mut next);
            }
            force(&mut next, stuck, self.domain);
            if round >= WIDE_FROM {
                for (new, old) in next.iter_mut().zip(&movers) {
                    new.on = self.diagrams.or(new.on, old.on);
                    new.off = self.diagrams.or(new.off, old.off);
                }
            }
            let changed: Vec<usize> = (0..next.len())
                .filter(|at| next.get(*at) != movers.get(*at))
                .collect();
            movers = next;
            if changed.is_empty() {
                return Settled { movers, reads: known };
            }
            self.forget(case, &mut reads, &changed);
        }
        let reads = reads.iter().map(|r| r.unwrap_or(off)).collect();
        Settled { movers, reads }
    }

    /// Forgets reads that rest on these movers.
    fn forget(&self, case: &Case, reads: &mut [Option<May>], changed: &[usize]) {
        for (read, place) in reads.iter_mut().enumerate() {
            let own = case.own.get(read).copied().unwrap_or(false);
            let trees = if own { &case.trees } else { &self.healthy.trees };
            let rests = trees
                .get(read)
                .is_none_or(|tree| tree.nodes.is_empty() || tree.movers.iter().any(|m| changed.contains(m)));
            if rests {
                *place = None;
            }
        }
    }

    /// Sees to it that fuses that may be blown are told apart.
    fn refit(&self, case: &mut Case, movers: &[May], reads: &mut [Option<May>]) {
        let moving: Vec<bool> = movers
            .iter()
            .enumerate()
            .map(|(at, may)| self.plant.is_fuse(at) && may.on != FALSE)
            .collect();
        if moving != case.moving {
            case.moving = moving;
            case.refit(self.plant, &self.healthy.graph);
            reads.fill(None);
        }
    }

    /// How a mover stands by what is read; none: that is not decided here.
    fn moved(&mut self, at: usize, movers: &[May], reads: &[May], named: &[May]) -> Option<May> {
        let plant = self.plant;
        match &plant.model.movers.get(at)?.moves {
            Moves::Switch(switch, positions) => {
                let of = self.positions.get(*switch)?.clone();
                let on = positions
                    .iter()
                    .filter_map(|p| of.get(*p))
                    .fold(FALSE, |any, p| self.diagrams.or(any, *p));
                let off = self.diagrams.without(self.domain, on);
                let on = self.diagrams.and(on, self.domain);
                Some(May { on, off })
            }
            Moves::Nobody => Some(May {
                on: self.domain,
                off: self.domain,
            }),
            Moves::Coil(read) => {
                // Between drop-out and pull-in a relay stays as it was.
                let (May { on, off }, was) = (*reads.get(*read)?, *movers.get(at)?);
                let between = self.diagrams.and(on, off);
                let (on, off) = (
                    self.diagrams.without(on, between),
                    self.diagrams.without(off, between),
                );
                let stays = self.diagrams.and(between, was.on);
                let leaves = self.diagrams.and(between, was.off);
                Some(May {
                    on: self.diagrams.or(on, stays),
                    off: self.diagrams.or(off, leaves),
                })
            }
            Moves::When(_) if reads.is_empty() => None,
            Moves::When(term) => Some(self.term(term, movers, reads, named)),
            Moves::Fuse => None,
        }
    }

    /// The named expressions, in an order in which each comes behind those it names.
    pub(super) fn named(&mut self, movers: &[May], reads: &[May]) -> Vec<May> {
        let plant = self.plant;
        let mut all = Vec::new();
        for (_, term) in &plant.model.named {
            let may = self.term(term, movers, reads, &all);
            all.push(may);
        }
        all
    }

    /// An expression: it may hold where …, it may not hold where …
    pub(super) fn term(&mut self, term: &Term, movers: &[May], reads: &[May], named: &[May]) -> May {
        let unsure = May {
            on: self.domain,
            off: self.domain,
        };
        match term {
            Term::Switch(switch, position) => {
                let of = self
                    .positions
                    .get(*switch)
                    .and_then(|p| p.get(*position))
                    .copied()
                    .unwrap_or(FALSE);
                May {
                    on: self.diagrams.and(of, self.domain),
                    off: self.diagrams.without(self.domain, of),
                }
            }
            Term::Read(at) => reads.get(*at).copied().unwrap_or(unsure),
            Term::Mover(at) => movers.get(*at).copied().unwrap_or(unsure),
            Term::Named(at) => named.get(*at).copied().unwrap_or(unsure),
            Term::Not(inner) => {
                let May { on, off } = self.term(inner, movers, reads, named);
                May { on: off, off: on }
            }
            Term::And(parts) => parts.iter().fold(
                May {
                    on: self.domain,
                    off: FALSE,
                },
                |all, part| {
                    let part = self.term(part, movers, reads, named);
                    May {
                        on: self.diagrams.and(all.on, part.on),
                        off: self.diagrams.or(all.off, part.off),
                    }
                },
            ),
            Term::Or(parts) => parts.iter().fold(
                May {
                    on: FALSE,
                    off: self.domain,
                },
                |any, part| {
                    let part = self.term(part, movers, reads, named);
                    May {
                        on: self.diagrams.or(any.on, part.on),
                        off: self.diagrams.and(any.off, part.off),
                    }
                },
            ),
        }
    }

    /// A fault's circuit.
    pub(super) fn case(&self, gone: Vec<Element>, touching: Option<(Node, Node)>) -> Case {
        let mut case = Case::of(self.plant, gone, touching);
        case.mark(&self.healthy.graph);
        if touching.is_some() {
            case.pulled = self.busiest().map(|base| base.volts(self.plant, touching));
        }
        case
    }

    /// Whether a point was one conductor with the other before the fault.
    pub(super) fn is_one(&self, one: Node, other: Node) -> bool {
        self.healthy.graph.of_node(one) == self.healthy.graph.of_node(other)
    }
}

fn force(movers: &mut [May], stuck: Option<(usize, bool)>, domain: Function) {
    if let Some((mover, on)) = stuck
        && let Some(place) = movers.get_mut(mover)
    {
        *place = if on {
            May {
                on: domain,
                off: FALSE,
            }
        } else {
            May {
                on: FALSE,
                off: domain,
            }
        };
    }
}
