//! Settling: from how the movers stand to what is read, to how they then stand, until nothing changes; for all combinations of switches
//! at once.

mod case;
mod reads;
mod settle;
mod terms;
mod tree;

use std::{collections::HashMap, sync::Arc};

use crimpbook_core::rule::{Diagrams, FALSE, Function, TRUE};

use super::{
    cone::{Decided, Marks, Step, Untold, idle, step},
    graph::{Edge, Element, Graph},
    model::{Moves, Read, Term},
    plant::{Base, OnSet, Plant, Solved},
};
use crate::{analysis::suppose::Reads, circuit::Node, model::Quick};

/// In which combinations something may be on, and in which it may be off; in both where that is not sure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct May {
    pub on: Function,
    pub off: Function,
}

/// What is read, by combinations. Several may hold in one, where more than one position is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Level {
    /// On.
    pub on: Function,
    /// Between thresholds: it may be taken for on and for off.
    pub between: Function,
    /// Off.
    pub off: Function,
}

/// From the so many-th mover on only both extremes are tried: all others off, all others on. What is read is rough then.
pub(super) const DEEPEST: usize = 8;
/// So many are tried where what is rough counts as not sure: more cost more than they decide (our own).
const AT_FIRST: usize = 5;
/// Networks solved at most, a fault, to look at what that leaves open without this limit,
const MOST_SOLVED: usize = 32_768;
/// and positions at most that one look is to tell apart.
const MOST_LEAVES: usize = 4096;
/// Walks that a tree keeps.
const MOST_WALKS: usize = 8;
/// So few positions are solved from what is at hand; more are worth a circuit made ready for them.
const FEW: usize = 32;
/// So many that nobody tells are tried each both ways; more all together.
const MOST_UNTOLD: usize = 3;
/// Leaves at most that loads and sources part one walk into where they say which fuse opens; it is not sure then (our own).
const MOST_SWAYED: usize = 512;
/// From this round on what changes to and fro counts as not sure.
const WIDE_FROM: usize = 8;
/// Rounds at most; widening ends it long before.
const MOST_ROUNDS: usize = 200;

/// What decides a read, found as it is asked for.
#[derive(Debug, Clone, Default)]
struct Tree {
    nodes: Vec<Branch>,
    movers: Vec<usize>,
    /// The last walks over it: movers often stand again as they did.
    walks: Vec<Walked>,
}

/// What a walk over a tree came to.
#[derive(Debug, Clone)]
struct Walked {
    /// Among which combinations.
    domain: Function,
    rough: Rough,
    /// Whether as many movers decided as do.
    close: bool,
    /// How the tree's movers stood.
    stood: Vec<(usize, May)>,
    leaves: Leaves,
    /// No combination reaches two of them.
    apart: bool,
    /// What the leaves say of each read that was asked for, and whether any is rough.
    levels: Vec<(usize, Level, bool)>,
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
    /// Which fuse opens there is not sure.
    doubtful: bool,
    /// One solution, or several where movers take part that nobody tells, or both extremes.
    solved: Vec<Arc<Solved>>,
    /// The first without the fault, where fuses are looked at.
    before: Option<Arc<Solved>>,
    points: Arc<Vec<Node>>,
}

/// Leaves that are reached, and in which combinations.
type Leaves = Arc<Vec<(Function, usize)>>;

/// Movers that are on, and fuses that are blown.
type Key = (OnSet, Vec<u32>);

/// The circuit with a fault, or without.
#[derive(Debug, Clone)]
pub(super) struct Case {
    gone: Vec<Element>,
    touching: Option<(Node, Node)>,
    /// Fuses that may be blown, by mover.
    moving: Vec<bool>,
    fit: Fit,
    /// What was found with other fuses told apart.
    fits: HashMap<Vec<bool>, Fit>,
    solved: Quick<Key, Arc<Solved>>,
}

/// Volts of every point without a fault and while points touch, in one position of the movers.
#[derive(Debug, Clone)]
struct Pull {
    before: Volts,
    now: Volts,
}

/// Volts of every point; none: it floats.
type Volts = Arc<Vec<Option<f64>>>;

/// How a circuit hangs together while some fuses may be blown, and what was found of it.
#[derive(Debug, Clone)]
struct Fit {
    graph: Graph,
    /// Points where the fault changes how things hang together; none: nowhere.
    changed: Option<Vec<bool>>,
    /// Reads that the fault reaches.
    own: Vec<bool>,
    /// How far touching points pull others.
    pulls: Vec<Pull>,
    /// Fuses that may be blown and stand beside what holds others, so that nothing else asks for them.
    beside: Vec<u32>,
    /// Beside the reads; the last is the fault's own place.
    trees: Vec<Tree>,
    /// Reads that share a tree, by whose it is: many rest on one part that nothing holds.
    shared: Vec<Option<usize>>,
    /// Where looking begins for these.
    begin: HashMap<usize, Vec<Node>>,
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
    /// The same with what is between thresholds apart.
    levels: Vec<Level>,
    /// Movers and reads with each mover that is not sure as one more choice; none where all are sure.
    each: Option<(Vec<May>, Vec<May>)>,
}

impl Settled {
    /// Movers and reads, each position of what is not sure by itself.
    pub(super) fn each(&self) -> (&[May], &[May]) {
        let each = self.each.as_ref();
        each.map_or((&self.movers, &self.reads), |(movers, reads)| (movers, reads))
    }
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
    /// Which fuses open was not looked at in full, since this was last cleared.
    pub fuses_unsure: bool,
    /// Which fuse opens was not sure somewhere, since this was last cleared.
    pub doubtful: bool,
    /// Movers that decide one read before it is rough.
    deepest: usize,
    /// Networks that may still be solved.
    left: usize,
    /// That was not enough.
    gave_up: bool,
    touches: Vec<Vec<bool>>,
    /// Reads that were rough since this was last cleared.
    pub rough_reads: Vec<bool>,
    marks: Marks,
    /// Volts of every point without a fault, in the position of the movers in which most are on, and there with strong sources off.
    volts: Vec<(OnSet, Volts)>,
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
            levels: Vec::new(),
            each: None,
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
            fuses_unsure: false,
            doubtful: false,
            deepest: DEEPEST,
            left: usize::MAX,
            gave_up: false,
            touches: Vec::new(),
            rough_reads: vec![false; plant.model.reads.len()],
            marks: Marks::default(),
            volts: Vec::new(),
        };
        let mut healthy = this.healthy.clone();
        this.settled = this.settle(&mut healthy, From::SwitchOn, None, false);
        this.healthy = healthy;
        for read in 0..plant.model.reads.len() {
            let movers = this.settled.movers.clone();
            let (level, touched) = this.healthy_read(read, &movers);
            if read >= needed {
                let may = this.may(level);
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

    /// Looks at these combinations only, and at as many movers as decide there.
    pub(super) fn closely<R>(&mut self, domain: Function, does: impl FnOnce(&mut Self) -> R) -> R {
        // What others find is not to hang on what was looked at closely before.
        let trees = self.healthy.fit.trees.clone();
        let all = std::mem::replace(&mut self.domain, domain);
        (self.deepest, self.left) = (usize::MAX, MOST_SOLVED);
        (self.met_rough, self.fuses_unsure) = (false, false);
        let done = does(self);
        self.healthy.fit.trees = trees;
        self.domain = all;
        (self.deepest, self.left, self.gave_up) = (DEEPEST, usize::MAX, false);
        done
    }

    fn is_close(&self) -> bool {
        self.deepest == usize::MAX
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
            let mut all = vec![base.on.clone()];
            let weak = self.plant.weak(&base.on);
            all.extend((weak != base.on).then_some(weak));
            let volts = all.into_iter().map(|on| {
                let moved = self.plant.moving.between(&base.on, &on);
                (on, Arc::new(base.volts(self.plant, moved, &[], None)))
            });
            copy.volts = volts.collect();
        }
        copy
    }

    fn busiest(&self) -> Option<&'p Base<'p>> {
        self.bases.iter().max_by_key(|base| base.on.len())
    }

    /// The positions that were solved without a fault, and the one in which all sources are on, from which any other is near.
    pub(super) fn solved(&self) -> Vec<OnSet> {
        let mut all: Vec<OnSet> = self.healthy.solved.keys().map(|(on, _)| on.clone()).collect();
        all.push(
            self.plant
                .moving
                .sources((0..).take(self.plant.model.movers.len())),
        );
        all.sort();
        all.dedup();
        all
    }

    /// A fault's circuit.
    pub(super) fn case(&mut self, gone: Vec<Element>, touching: Option<(Node, Node)>) -> Case {
        let mut case = Case::of(self.plant, gone, touching);
        case.mark(self.plant, &self.healthy.fit.graph);
        self.pull(&mut case);
        case
    }

    /// Finds how far touching points pull others: with strong sources on and off, and with each fuse blown that stands beside what holds
    /// others, and with all of those.
    fn pull(&mut self, case: &mut Case) {
        let (Some((one, other)), Some(base)) = (case.touching, self.busiest()) else {
            return;
        };
        let plant = self.plant;
        let beside = |fuse: &u32| {
            let at = *fuse as usize;
            let is_it = |edge: &&Edge| edge.mover.is_some_and(|(mover, _)| mover == at);
            let is_core = |node| case.fit.graph.is_core(case.fit.graph.of_node(node));
            let mut edges = plant.edges.iter().filter(is_it);
            let holds = edges.any(|edge| is_core(edge.a) && is_core(edge.b));
            case.moving.get(at) == Some(&true) && (holds || plant.leads_a_source(at))
        };
        let fuses: Vec<u32> = (0..).take(case.moving.len()).filter(beside).collect();
        case.fit.beside.clone_from(&fuses);
        let mut blown = vec![Vec::new()];
        blown.extend(fuses.iter().map(|fuse| vec![*fuse]));
        blown.extend((fuses.len() > 1).then_some(fuses));
        let mut pulls = Vec::new();
        for (at, (on, before)) in self.volts.clone().into_iter().enumerate() {
            let drawing = self.drawing(&case.fit.graph, &[one, other], &on);
            let drawing = if at == 0 { drawing } else { plant.weak(&drawing) };
            let moved = plant.moving.between(&base.on, &drawing);
            pulls.extend(blown.iter().map(|blown| Pull {
                before: Arc::clone(&before),
                now: Arc::new(base.volts(plant, moved.clone(), blown, case.touching)),
            }));
        }
        case.fit.pulls = pulls;
    }

    /// The movers that are on where most flows at these points: what can close there is closed, all else as it is.
    fn drawing(&mut self, graph: &Graph, points: &[Node], on: &OnSet) -> OnSet {
        let mut decided: Decided = vec![None; self.plant.model.movers.len()];
        let mut untold = Untold {
            is: &|_| false,
            found: Vec::new(),
        };
        let mut on = on.clone();
        while let Step::Decide(mover) = step(graph, points, &mut decided, &mut untold, &mut self.marks, None)
        {
            let closes = self.plant.moving.closed(&vec![mover as u32]) >= 0;
            if let Some(place) = decided.get_mut(mover) {
                *place = Some(closes);
            }
            on.retain(|at| *at != mover as u32);
            if closes {
                on.push(mover as u32);
            }
        }
        on.sort_unstable();
        on
    }

    /// Whether a point was one conductor with the other before the fault.
    pub(super) fn is_one(&self, one: Node, other: Node) -> bool {
        self.healthy.fit.graph.of_node(one) == self.healthy.fit.graph.of_node(other)
    }
}
