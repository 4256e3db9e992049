//! Settling: from how the movers stand to what is read, to how they then stand, until nothing changes; for all combinations of switches
//! at once.

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

/// From the so many-th mover on only both extremes are tried: all others off, all others on.
const DEEPEST: usize = 8;
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
    /// One solution, or both extremes.
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
        this
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
            From::Service => self.settled.movers.clone(),
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
        if matches!(from, From::Service) && case.touching.is_none() {
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

    /// One read in all combinations.
    pub(super) fn read(&mut self, case: &mut Case, read: usize, movers: &[May]) -> May {
        let own = case.own.get(read).copied().unwrap_or(false);
        if !own {
            let mut healthy =
                std::mem::take(self.healthy.trees.get_mut(read).unwrap_or(&mut Tree::default()));
            let leaves = self.leaves(None, &mut healthy, read, movers);
            let reached = leaves.iter().any(|(_, leaf)| match healthy.nodes.get(*leaf) {
                Some(Branch::Leaf(leaf)) => case.touches(&leaf.points) || self.pulls(case, leaf, read),
                _ => true,
            });
            let may = if reached {
                None
            } else {
                Some(self.gathered(&healthy, &leaves, read))
            };
            if let Some(place) = self.healthy.trees.get_mut(read) {
                *place = healthy;
            }
            if let Some(may) = may {
                return may;
            }
            if let Some(own) = case.own.get_mut(read) {
                *own = true;
            }
        }
        let mut tree = case.trees.get_mut(read).map(std::mem::take).unwrap_or_default();
        let leaves = self.leaves(Some(case), &mut tree, read, movers);
        let may = self.gathered(&tree, &leaves, read);
        if let Some(place) = case.trees.get_mut(read) {
            *place = tree;
        }
        may
    }

    /// Whether a short pulls what holds these points so far that the read could say something else. Voltages of a passive circuit rise
    /// with those that hold it, so that the extremes of these bound it; 3 % and 0.1 V are for movers that stand otherwise (our own).
    fn pulls(&self, case: &Case, leaf: &Leaf, read: usize) -> bool {
        let Some(pulled) = &case.pulled else { return false };
        let Some(what) = self.plant.model.reads.get(read) else {
            return true;
        };
        let graph = &self.healthy.graph;
        let (mut least, mut most, mut lift_v) = (1.0f64, 1.0f64, 0.0f64);
        for point in leaf.points.iter() {
            let conductor = graph.of_node(*point);
            if !graph.is_core(conductor) {
                continue;
            }
            let volts = |of: &[Option<f64>]| of.get(*point as usize).copied().flatten();
            let (Some(was), Some(is)) = (volts(&self.volts), volts(pulled)) else {
                return true;
            };
            if graph.ground() == Some(conductor) || was.abs() < 1.0 {
                lift_v = lift_v.max((is - was).abs());
            } else {
                (least, most) = (least.min(is / was), most.max(is / was));
            }
        }
        let (least, most, lift_v) = (least * 0.97, most * 1.03, 2.0 * lift_v + 0.1);
        leaf.solved.iter().any(|solved| {
            let Some(v) = solved.volts.get(read).copied().flatten() else {
                return true;
            };
            // A coil or lamp counts whichever way its voltage points.
            let v = if matches!(what, Read::Across { .. }) {
                v.abs()
            } else {
                v
            };
            let (one, other) = (v * least, v * most);
            let level = what.level(Some(v));
            let low = (one.min(other) - lift_v).max(if v >= 0.0 { 0.0 } else { f64::NEG_INFINITY });
            what.level(Some(low)) != level || what.level(Some(one.max(other) + lift_v)) != level
        })
    }

    /// Whether a fuse is overloaded as all stands.
    pub(super) fn overloads(&mut self, case: &mut Case, settled: &Settled) -> bool {
        let mut next = settled.movers.clone();
        self.blow(case, &settled.movers, &mut next);
        next != settled.movers
    }

    fn healthy_read(&mut self, read: usize, movers: &[May]) -> (May, Vec<bool>) {
        let mut tree = self
            .healthy
            .trees
            .get_mut(read)
            .map(std::mem::take)
            .unwrap_or_default();
        let leaves = self.leaves(None, &mut tree, read, movers);
        let may = self.gathered(&tree, &leaves, read);
        let mut touched = vec![false; self.healthy.graph.conductor.len()];
        for (_, leaf) in &leaves {
            if let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) {
                for point in leaf.points.iter() {
                    if let Some(place) = touched.get_mut(*point as usize) {
                        *place = true;
                    }
                }
            }
        }
        if let Some(place) = self.healthy.trees.get_mut(read) {
            *place = tree;
        }
        (may, touched)
    }

    fn gathered(&mut self, tree: &Tree, leaves: &[(Function, usize)], read: usize) -> May {
        let mut may = May {
            on: FALSE,
            off: FALSE,
        };
        for (set, leaf) in leaves {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            for solved in &leaf.solved {
                let level = solved.reads.get(read).copied().unwrap_or(Reads::Undefined);
                if level != Reads::Off {
                    may.on = self.diagrams.or(may.on, *set);
                }
                if level != Reads::On {
                    may.off = self.diagrams.or(may.off, *set);
                }
            }
        }
        may
    }

    /// Blows the fuses that the touching points overload, the worst of each position first.
    fn blow(&mut self, case: &mut Case, movers: &[May], next: &mut [May]) {
        let Some(place) = case.touching.map(|_| self.plant.model.reads.len()) else {
            return;
        };
        let mut tree = case.trees.get_mut(place).map(std::mem::take).unwrap_or_default();
        let leaves = self.leaves(Some(case), &mut tree, place, movers);
        for (set, leaf) in &leaves {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            let Some(now) = leaf.solved.first() else { continue };
            if let Some(fuse) = self.plant.opens(&leaf.before, now, &[])
                && let Some(may) = next.get_mut(fuse)
            {
                may.on = self.diagrams.or(may.on, *set);
                may.off = self.diagrams.without(may.off, *set);
            }
        }
        if let Some(at) = case.trees.get_mut(place) {
            *at = tree;
        }
    }

    /// The leaves that some combination reaches as the movers stand, with these combinations.
    fn leaves(
        &mut self,
        mut case: Option<&mut Case>,
        tree: &mut Tree,
        read: usize,
        movers: &[May],
    ) -> Vec<(Function, usize)> {
        let from = self.begin(case.as_deref(), read);
        if tree.nodes.is_empty() {
            tree.nodes.push(Branch::Unknown);
        }
        let mut out = Vec::new();
        let mut waiting = vec![(0usize, self.domain, Vec::<(usize, bool)>::new())];
        while let Some((at, set, way)) = waiting.pop() {
            if let Some(Branch::Unknown) = tree.nodes.get(at) {
                let branch = self.branch(case.as_deref_mut(), &from, &way, tree);
                if let Some(place) = tree.nodes.get_mut(at) {
                    *place = branch;
                }
            }
            let Some(Branch::Decide { mover, off, on }) = tree.nodes.get(at) else {
                out.push((set, at));
                continue;
            };
            let (mover, off, on) = (*mover, *off, *on);
            let Some(may) = movers.get(mover).copied() else {
                continue;
            };
            for (to, taken, where_to) in [(off, false, may.off), (on, true, may.on)] {
                let part = self.diagrams.and(set, where_to);
                if part != FALSE {
                    let mut way = way.clone();
                    way.push((mover, taken));
                    waiting.push((to, part, way));
                }
            }
        }
        out
    }

    /// Where looking begins: a read's points, or where the fault touches.
    fn begin(&self, case: Option<&Case>, read: usize) -> Vec<Node> {
        match self.plant.model.reads.get(read) {
            Some(Read::Cavity { at, ground, .. }) => vec![*at, *ground],
            Some(Read::Across { ends, .. }) => ends.to_vec(),
            None => case
                .and_then(|c| c.touching)
                .map_or_else(Vec::new, |(one, other)| vec![one, other]),
        }
    }

    fn branch(
        &mut self,
        case: Option<&mut Case>,
        from: &[Node],
        way: &[(usize, bool)],
        tree: &mut Tree,
    ) -> Branch {
        let mut decided: Decided = vec![None; self.plant.model.movers.len()];
        for (mover, on) in way {
            if let Some(place) = decided.get_mut(*mover) {
                *place = Some(*on);
            }
        }
        let graph = case.as_ref().map_or(&self.healthy.graph, |c| &c.graph);
        // What nobody tells is tried all off and all on, not each by itself.
        let mut nobody = Vec::new();
        let found = loop {
            match step(graph, from, &decided) {
                Step::Decide(mover) if self.plant.is_nobody(mover) => {
                    nobody.push(mover);
                    if let Some(place) = decided.get_mut(mover) {
                        *place = Some(false);
                    }
                }
                found => break found,
            }
        };
        let mut extremes = vec![decided.clone()];
        if !nobody.is_empty() {
            let on = |(at, d): (usize, &Option<bool>)| if nobody.contains(&at) { Some(true) } else { *d };
            extremes.push(decided.iter().enumerate().map(on).collect());
        }
        let points = match found {
            Step::Decide(mover) if way.len() < DEEPEST => {
                let next = tree.nodes.len();
                tree.nodes.extend([Branch::Unknown, Branch::Unknown]);
                if !tree.movers.contains(&mover) {
                    tree.movers.push(mover);
                }
                return Branch::Decide {
                    mover,
                    off: next,
                    on: next + 1,
                };
            }
            // Everything may take part.
            Step::Decide(_) => {
                let fuse = |at: usize| self.plant.is_fuse(at);
                let all = decided
                    .iter()
                    .enumerate()
                    .map(|(at, d)| d.or(Some(!fuse(at))))
                    .collect();
                extremes.push(all);
                (0..).take(graph.conductor.len()).collect()
            }
            Step::Done(points) => points,
        };
        let mut before = None;
        let mut solved = Vec::new();
        match case {
            None => {
                for decided in &extremes {
                    solved.push(self.without_fault(decided));
                }
            }
            Some(case) => {
                for decided in &extremes {
                    before.get_or_insert_with(|| self.without_fault(decided));
                    solved.push(self.with_fault(case, decided));
                }
            }
        }
        let unknown = || {
            Arc::new(Solved {
                reads: Vec::new(),
                volts: Vec::new(),
                fuse_a: Vec::new(),
            })
        };
        let before = before.or_else(|| solved.first().cloned()).unwrap_or_else(unknown);
        Branch::Leaf(Leaf {
            solved,
            before,
            points: Arc::new(points),
        })
    }

    fn split(&self, decided: &Decided) -> (OnSet, Vec<u32>) {
        let on = decided
            .iter()
            .enumerate()
            .filter(|(_, d)| **d == Some(true))
            .map(|(at, _)| at as u32);
        on.partition(|at| !self.plant.is_fuse(*at as usize))
    }

    fn without_fault(&mut self, decided: &Decided) -> Arc<Solved> {
        let (on, _) = self.split(decided);
        let key = (on, Vec::new());
        if let Some(known) = self.healthy.solved.get(&key) {
            return Arc::clone(known);
        }
        let solved = match self.base(&key.0) {
            Some(base) => Arc::clone(base.healthy()),
            None => Arc::new(
                self.plant
                    .solve(&key.0, &[], &[], None, self.bases.first().map(|b| b.network)),
            ),
        };
        self.healthy.solved.insert(key, Arc::clone(&solved));
        solved
    }

    fn with_fault(&self, case: &mut Case, decided: &Decided) -> Arc<Solved> {
        let key = self.split(decided);
        if let Some(known) = case.solved.get(&key) {
            return Arc::clone(known);
        }
        let (on, blown) = &key;
        let solved = match self.base(on) {
            Some(base) => base.solve(self.plant, blown, &case.gone, case.touching),
            None => self.plant.solve(
                on,
                blown,
                &case.gone,
                case.touching,
                self.bases.first().map(|b| b.network),
            ),
        };
        let solved = Arc::new(solved);
        case.solved.insert(key, Arc::clone(&solved));
        solved
    }

    fn base(&self, on: &OnSet) -> Option<&'p Base<'p>> {
        let at = self.bases.binary_search_by(|base| base.on.cmp(on)).ok()?;
        self.bases.get(at)
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

impl Case {
    fn of(plant: &Plant<'_>, gone: Vec<Element>, touching: Option<(Node, Node)>) -> Self {
        let reads = plant.model.reads.len();
        let none = |_: usize| false;
        let is_fuse = |at: usize| plant.is_fuse(at);
        let graph = Graph::of(plant.see.wiring(), &plant.edges, &gone, touching, &none, &is_fuse);
        Self {
            gone,
            touching,
            graph,
            moving: vec![false; plant.model.movers.len()],
            changed: None,
            own: vec![false; reads],
            trees: vec![Tree::default(); reads + 1],
            solved: HashMap::new(),
            pulled: None,
        }
    }

    /// With all fuses whole again.
    pub(super) fn intact(&mut self, run: &Run<'_>) {
        if self.moving.contains(&true) {
            self.moving.fill(false);
            self.refit(run.plant, &run.healthy.graph);
        }
    }

    fn refit(&mut self, plant: &Plant<'_>, healthy: &Graph) {
        let moving = |at: usize| self.moving.get(at).copied().unwrap_or(false);
        let is_fuse = |at: usize| plant.is_fuse(at);
        self.graph = Graph::of(
            plant.see.wiring(),
            &plant.edges,
            &self.gone,
            self.touching,
            &moving,
            &is_fuse,
        );
        self.trees.fill(Tree::default());
        self.own.fill(false);
        self.mark(healthy);
    }

    /// Marks the points where things hang together otherwise than without the fault.
    fn mark(&mut self, healthy: &Graph) {
        let count = healthy.conductor.len();
        let mut changed = vec![false; count];
        let mut mark = |at: usize| {
            if let Some(place) = changed.get_mut(at) {
                *place = true;
            }
        };
        // A conductor that came apart: those of its points that are not held as they were.
        let mut parts: HashMap<u32, u32> = HashMap::new();
        let mut apart: HashMap<u32, bool> = HashMap::new();
        for (before, now) in healthy.conductor.iter().zip(&self.graph.conductor) {
            let first = *parts.entry(*before).or_insert(*now);
            if first != *now {
                apart.insert(*before, true);
            }
        }
        for (at, (before, now)) in healthy.conductor.iter().zip(&self.graph.conductor).enumerate() {
            if apart.contains_key(before) && !(healthy.is_core(*before) && self.graph.is_core(*now)) {
                mark(at);
            }
            if healthy.is_core(*before) && !self.graph.is_core(*now) {
                mark(at);
            }
        }
        if let Some((one, other)) = self.touching {
            let ends = [healthy.of_node(one), healthy.of_node(other)];
            for (at, before) in healthy.conductor.iter().enumerate() {
                if ends.contains(before) && !healthy.is_core(*before) {
                    mark(at);
                }
            }
        }
        self.changed = Some(changed);
    }

    /// Whether the fault reaches any of these points.
    fn touches(&self, points: &[Node]) -> bool {
        let Some(changed) = &self.changed else {
            return false;
        };
        points
            .iter()
            .any(|p| changed.get(*p as usize).copied().unwrap_or(false))
    }

    fn reaches(&self, touched: Option<&Vec<bool>>) -> bool {
        let (Some(changed), Some(touched)) = (&self.changed, touched) else {
            return self.changed.is_some();
        };
        changed.iter().zip(touched).any(|(a, b)| *a && *b)
    }
}
