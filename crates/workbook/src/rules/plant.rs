//! The circuit that rules are proven on: for each position of what moves it gives what is read.

use std::sync::Arc;

use crimpbook_core::network::{Change, ElementId, Faulted, Faults, Network, OperatingPoint, Start};

use super::{
    fault::fuse_of,
    graph::{Edge, Element, edges},
    many::Moving,
    model::{Model, Moved, Moves, Read},
};
use crate::{
    analysis::{
        Snapshot,
        suppose::{OPENS_AT, Reads, SHORT_OHM},
    },
    circuit::{Node, Standing, Stands},
    model::{About, Part, PartKind, PartPosition, State},
};

/// How much more than by its own volts a source may lift what is read (our own).
const LIFT_SLACK: f64 = 0.01;
/// A load counts for a fuse from this share of what opens it (our own).
const LOAD_SHARE: f64 = 0.01;

/// What a mover does to what it does not decide: a source that is switched and as strong as what holds the circuit, or a load.
#[derive(Debug, Clone)]
pub(super) struct Sways {
    pub mover: usize,
    /// How far a source lifts or draws what holds the circuit, as a share of that.
    share: f64,
    /// What a source gives at most, so far it relieves a fuse that feeds the same, A.
    most_a: f64,
    /// How much more flows through each fuse, beside the model's movers, A.
    loads_a: Vec<f64>,
}

/// The movers that are on, in order; all others are off. Fuses stand apart.
pub(super) type OnSet = Vec<u32>;

/// What is read at an operating point, and what flows through the fuses.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    /// Beside the model's reads.
    pub reads: Vec<Reads>,
    /// The voltages that say so; none: it floats.
    pub volts: Vec<Option<f64>>,
    /// Beside the model's movers; zero for what is no fuse, A.
    pub fuse_a: Vec<f64>,
    /// No solution was found.
    pub unknown: bool,
}

/// The circuit and what is asked of it.
pub(super) struct Plant<'s> {
    pub see: &'s Snapshot,
    pub model: &'s Model,
    pub edges: Vec<Edge>,
    /// Points against which units read.
    pub grounds: Vec<Node>,
    /// Sources that could lift what is read over a threshold.
    pub lifting: Vec<Sways>,
    /// The same behind loads, the largest last: what could change which fuse opens.
    pub loading: Vec<Sways>,
    /// Nothing is known of loads, so that of a short it is not sure which fuse opens.
    pub loads_unknown: bool,
    /// What flows through each fuse, beside the model's movers, with all loads on, A.
    loaded_a: Vec<f64>,
    rest: Stands,
    supply_v: f64,
    copper: Vec<f64>,
    /// Beside the model's movers.
    rating_a: Vec<Option<f64>>,
    /// With every mover off.
    pub resting: Standing,
    pub moving: Moving,
}

/// A circuit made ready for faults.
pub(super) struct Base<'p> {
    pub on: OnSet,
    standing: &'p Standing,
    pub network: &'p Network,
    faults: Faults<'p>,
    healthy: Arc<Solved>,
}

impl Sways {
    /// Between which shares of what they are voltages and currents are then.
    fn between(&self) -> (f64, f64) {
        (self.share.min(1.0) - LIFT_SLACK, self.share.max(1.0) + LIFT_SLACK)
    }
}

impl<'s> Plant<'s> {
    pub(super) fn of(see: &'s Snapshot, model: &'s Model) -> Self {
        let (book, wiring) = (see.book(), see.wiring());
        let mut rest = Stands::of(book, &nothing_told());
        for run in &wiring.parts {
            // Coils are plain resistances here: whether they are fed is read, and their contacts are movers.
            if let Some(PartKind::Coil { .. }) = book.get(run.part).map(|p| &p.kind) {
                rest = rest.with(run.part, PartPosition::Off);
            }
        }
        let supply_v = book
            .all::<About>()
            .values()
            .next()
            .map_or(12.6, |a| a.supply.nominal_v);
        let rating = |what| Some(book.get(fuse_of(see, what)?)?.rating_a).filter(|a| *a > 0.0);
        let fuse = |m: &super::model::Mover| matches!(m.moves, Moves::Fuse).then(|| rating(m.what)).flatten();
        let copper = see.warmth().idle();
        let resting = Standing::of(book, wiring, &rest, supply_v, &copper);
        let mut this = Self {
            see,
            model,
            edges: edges(book, wiring, model),
            lifting: Vec::new(),
            loading: Vec::new(),
            loads_unknown: false,
            loaded_a: Vec::new(),
            grounds: model.reads.iter().filter_map(Read::ground).collect(),
            rest,
            supply_v,
            copper,
            rating_a: model.movers.iter().map(fuse).collect(),
            moving: Moving::of(&resting.circuit, std::iter::empty()),
            resting,
        };
        let alone = (0..).take(model.movers.len());
        let alone: Vec<Option<Standing>> = alone
            .map(|at| (!this.is_fuse(at as usize)).then(|| this.standing(&vec![at])))
            .collect();
        this.lifting = this.lifts();
        let circuits = alone.iter().map(|s| s.as_ref().map(|s| &s.circuit));
        this.moving = Moving::of(&this.resting.circuit, circuits);
        let loads = this.loads();
        this.loads_unknown = loads.is_none();
        (this.loaded_a, this.loading) = loads.unwrap_or_default();
        this.loading.extend(this.lifting.iter().cloned());
        this
    }

    fn lifts(&self) -> Vec<Sways> {
        let strong = |edge: &Edge| edge.mover.filter(|_| edge.gives && edge.joins);
        let lift = |edge: &Edge| {
            let (mover, _) = strong(edge)?;
            let Moved::Part(place) = self.model.movers.get(mover)?.what else {
                return None;
            };
            let part = self.see.wiring().parts.get(place)?.part;
            match self.see.book().get(part).map(|part: &Part| &part.kind)? {
                PartKind::Source {
                    volts_v: Some(volts),
                    limit_a,
                    ..
                } if self.supply_v > 0.0 => Some(Sways {
                    mover,
                    share: volts / self.supply_v,
                    most_a: limit_a.filter(|a| *a > 0.0).unwrap_or(f64::INFINITY),
                    loads_a: Vec::new(),
                }),
                _ => None,
            }
        };
        self.edges.iter().filter_map(lift).collect()
    }

    /// What each mover loads the fuses with, where all that can close is closed but the sources.
    fn loads(&self) -> Option<(Vec<f64>, Vec<Sways>)> {
        let is_load = |mover: &u32| {
            let source = |source: &Sways| source.mover == *mover as usize;
            let sure = self.is_fuse(*mover as usize) || self.is_nobody(*mover as usize);
            !sure && !self.lifting.iter().any(source)
        };
        let loads: OnSet = (0..).take(self.model.movers.len()).filter(is_load).collect();
        let closes = |mover: &u32| self.moving.closed(&vec![*mover]) >= 0;
        let on: OnSet = loads.iter().copied().filter(closes).collect();
        let standing = self.standing(&on);
        let network = Network::new(standing.circuit.clone()).ok()?;
        let point = network.operate(&Start::Released).ok()?;
        let faults = point.faults();
        let all = self.read(&standing, &faults.solve(&[]).ok()?).fuse_a;
        let load = |mover: &u32| {
            let others = on.iter().copied().filter(|other| other != mover);
            let mut other: OnSet = others.chain((!on.contains(mover)).then_some(*mover)).collect();
            other.sort_unstable();
            let moved = faults.solve(&self.moving.between(&on, &other)?).ok()?;
            let moved = self.read(&standing, &moved).fuse_a;
            let (with, without) = if on.contains(mover) {
                (&all, &moved)
            } else {
                (&moved, &all)
            };
            let fuses = with.iter().zip(without).zip(&self.rating_a);
            // As a share of what opens the fuse, where that counts.
            let shares: Vec<(f64, f64)> = fuses
                .map(|((with, without), rating)| {
                    let share = rating.map_or(0.0, |rating| (with - without) / (rating * OPENS_AT));
                    match share.abs() >= LOAD_SHARE {
                        true => (share.abs(), with - without),
                        false => (0.0, 0.0),
                    }
                })
                .collect();
            let most = shares.iter().fold(0.0, |most, (share, _)| f64::max(most, *share));
            let sways = Sways {
                mover: *mover as usize,
                share: 1.0,
                most_a: 0.0,
                loads_a: shares.into_iter().map(|(_, a)| a).collect(),
            };
            (most > 0.0).then_some((most, sways))
        };
        let mut sways: Vec<(f64, Sways)> = loads.iter().filter_map(load).collect();
        sways.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        Some((all, sways.into_iter().map(|(_, sways)| sways).collect()))
    }

    /// Whether such a source could change what is read.
    pub(super) fn is_near(&self, solved: &Solved, read: usize, source: &Sways) -> bool {
        let (least, most) = source.between();
        let volts = solved.volts.get(read).copied().flatten();
        self.model
            .reads
            .get(read)
            .zip(volts)
            .is_some_and(|(what, v)| what.level(Some(v * least)) != what.level(Some(v * most)))
    }

    /// Whether a mover could change which fuse opens, with what else is left to decide.
    pub(super) fn sways_fuses(&self, solved: &Solved, sways: &Sways, left: &[Sways]) -> bool {
        let (least, most) = sways.between();
        let all = self.rating_a.iter().zip(&solved.fuse_a).enumerate();
        let is_source = sways.most_a > 0.0;
        // Between which shares of what opens it each fuse is loaded then.
        let share = |(fuse, (rating, a)): (usize, (&Option<f64>, &f64))| {
            let opens_a = (*rating)? * OPENS_AT;
            let (mut less, mut more) = (0.0, 0.0);
            for load in left
                .iter()
                .chain([sways])
                .filter_map(|sways| sways.loads_a.get(fuse))
            {
                (less, more) = (less - load.min(0.0), more + load.max(0.0));
            }
            // Several movers may decide one load.
            let all = self.loaded_a.get(fuse).copied().unwrap_or_default();
            // A load takes nothing off what feeds it.
            let feeds = !is_source && more > 0.0;
            let low = a * if feeds { 1.0 } else { least } - sways.most_a - f64::min(less, all);
            let high = a * if is_source { most } else { 1.0 } + f64::min(more, all);
            Some((low / opens_a, high / opens_a))
        };
        let shares: Vec<(f64, f64)> = all.filter_map(share).collect();
        let may_open = shares.iter().any(|(_, high)| *high >= 1.0);
        // One opens for sure, before any other where a source could change that; loads change it by little.
        let sure = |(at, (low, _)): (usize, &(f64, f64))| {
            let others = shares.iter().enumerate();
            let others = others.filter(|(other, _)| is_source && *other != at);
            *low >= others.fold(1.0, |most, (_, (_, high))| f64::max(most, *high))
        };
        may_open && !shares.iter().enumerate().any(sure)
    }

    pub(super) fn is_fuse(&self, mover: usize) -> bool {
        self.model
            .movers
            .get(mover)
            .is_some_and(|m| matches!(m.moves, Moves::Fuse))
    }

    /// Whether nobody says when a mover is on.
    pub(super) fn is_nobody(&self, mover: usize) -> bool {
        self.model
            .movers
            .get(mover)
            .is_some_and(|m| matches!(m.moves, Moves::Nobody))
    }

    /// The network with these movers on.
    pub(super) fn standing(&self, on: &OnSet) -> Standing {
        let (book, wiring) = (self.see.book(), self.see.wiring());
        let mut stands = self.rest.clone();
        for (at, mover) in self.model.movers.iter().enumerate() {
            let Moved::Part(place) = mover.what else { continue };
            if let Some(run) = wiring.parts.get(place).filter(|_| !self.is_fuse(at)) {
                let is_on = on.binary_search(&(at as u32)).is_ok();
                let position = if is_on {
                    PartPosition::On
                } else {
                    PartPosition::Off
                };
                stands = stands.with(run.part, position);
            }
        }
        Standing::of(book, wiring, &stands, self.supply_v, &self.copper)
    }

    /// What is read where no solution is found: nothing is sure.
    pub(super) fn unknown(&self) -> Solved {
        Solved {
            reads: vec![Reads::Undefined; self.model.reads.len()],
            volts: vec![None; self.model.reads.len()],
            fuse_a: vec![0.0; self.model.movers.len()],
            unknown: true,
        }
    }

    pub(super) fn changes(
        &self,
        standing: &Standing,
        blown: &[u32],
        gone: &[Element],
        touching: Option<(Node, Node)>,
    ) -> Vec<Change> {
        let element = |what: &Element| -> Option<ElementId> {
            match *what {
                Element::Wire(at) => standing.wires.get(at).copied(),
                Element::Contact(at) => standing.contacts.get(at).copied(),
                Element::Path(at) => standing.paths.get(at).copied(),
                Element::Part(place) => standing.parts.get(place)?.main,
                Element::Fixed => None,
            }
        };
        let mut changes: Vec<Change> = gone.iter().filter_map(element).map(Change::Open).collect();
        for mover in blown {
            let what = self.model.movers.get(*mover as usize).map(|m| m.what);
            let what = what.map(|what| match what {
                Moved::Part(place) => Element::Part(place),
                Moved::Wire(at) => Element::Wire(at),
            });
            if let Some(id) = what.as_ref().and_then(element) {
                let open = Change::Open(id);
                if !changes.contains(&open) {
                    changes.push(open);
                }
            }
        }
        if let Some((one, other)) = touching
            && let (Some(a), Some(b)) = (standing.node(one), standing.node(other))
        {
            changes.push(Change::Bridge {
                a,
                b,
                ohms: SHORT_OHM,
            });
        }
        changes
    }

    pub(super) fn read(&self, standing: &Standing, faulted: &Faulted<'_>) -> Solved {
        let between = |one: Node, other: Node| faulted.between(standing.node(one)?, standing.node(other)?);
        let volts: Vec<Option<f64>> = self
            .model
            .reads
            .iter()
            .map(|read| match read {
                Read::Cavity { at, ground, .. } => between(*at, *ground),
                Read::Across {
                    ends: [one, other], ..
                } => between(*one, *other),
            })
            .collect();
        let reads = self.model.reads.iter().zip(&volts);
        let reads = reads.map(|(read, volts)| read.level(*volts)).collect();
        let fuse_a = self
            .model
            .movers
            .iter()
            .zip(&self.rating_a)
            .map(|(mover, rating)| {
                let element = rating.and_then(|_| match mover.what {
                    Moved::Part(place) => standing.parts.get(place)?.main,
                    Moved::Wire(at) => standing.wires.get(at).copied(),
                });
                element.map_or(0.0, |e| faulted.current_a(e).abs())
            });
        Solved {
            reads,
            volts,
            fuse_a: fuse_a.collect(),
            unknown: false,
        }
    }

    /// The fuse furthest above its rating that a fault loads more than it was; none opens otherwise.
    pub(super) fn opens(&self, before: &Solved, now: &Solved, blown: &[u32]) -> Option<usize> {
        let over = |at: usize| -> Option<f64> {
            let rating_a = (*self.rating_a.get(at)?)?;
            let (was, is) = (before.fuse_a.get(at)?, now.fuse_a.get(at)?);
            let opens = *is >= OPENS_AT * rating_a && *is > was * 1.01 && !blown.contains(&(at as u32));
            opens.then_some(is / rating_a)
        };
        let all = (0..self.rating_a.len()).filter_map(|at| Some((at, over(at)?)));
        all.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at)
    }

    /// Makes the networks of many positions ready for faults and hands them over.
    pub(super) fn with_bases<R>(&self, ons: &[OnSet], then: impl FnOnce(&[Base<'_>]) -> R) -> R {
        let standings: Vec<(OnSet, Standing)> =
            ons.iter().map(|on| (on.clone(), self.standing(on))).collect();
        let mut networks: Vec<(OnSet, &Standing, Network)> = Vec::new();
        for (on, standing) in &standings {
            let alike = networks
                .iter()
                .find(|(_, _, n)| n.is_joined_like(&standing.circuit));
            let made = match alike {
                Some((_, _, alike)) => alike.again(standing.circuit.clone()),
                None => Network::new(standing.circuit.clone()),
            };
            if let Ok(network) = made {
                networks.push((on.clone(), standing, network));
            }
        }
        let points: Vec<Option<OperatingPoint<'_>>> = networks
            .iter()
            .map(|(_, _, network)| network.operate(&Start::Released).ok())
            .collect();
        let moves = self.moving.all();
        let bases: Vec<Base<'_>> = networks
            .iter()
            .zip(&points)
            .filter_map(|((on, standing, network), point)| {
                let faults = point.as_ref()?.faults().keeping_answers(&moves);
                let healthy = Arc::new(self.read(standing, &faults.solve(&[]).ok()?));
                Some(Base {
                    on: on.clone(),
                    standing,
                    network,
                    faults,
                    healthy,
                })
            })
            .collect();
        then(&bases)
    }
}

impl Base<'_> {
    /// Volts of every point against battery negative, with movers that stand otherwise and two points touching, or as it is.
    pub(super) fn volts(
        &self,
        plant: &Plant<'_>,
        mut changes: Vec<Change>,
        touching: Option<(Node, Node)>,
    ) -> Vec<Option<f64>> {
        changes.extend(plant.changes(self.standing, &[], &[], touching));
        let count = plant.see.wiring().nodes.count();
        let Ok(faulted) = self.faults.solve(&changes) else {
            return vec![None; count];
        };
        let nodes = (0..).take(count).map(|node| self.standing.node(node));
        nodes.map(|node| faulted.voltage(node?).volts()).collect()
    }

    pub(super) fn healthy(&self) -> &Arc<Solved> {
        &self.healthy
    }

    pub(super) fn solve(
        &self,
        plant: &Plant<'_>,
        blown: &[u32],
        gone: &[Element],
        touching: Option<(Node, Node)>,
    ) -> Solved {
        self.solve_moved(plant, Vec::new(), blown, gone, touching)
    }

    /// The same with movers that stand otherwise.
    pub(super) fn solve_moved(
        &self,
        plant: &Plant<'_>,
        mut moved: Vec<Change>,
        blown: &[u32],
        gone: &[Element],
        touching: Option<(Node, Node)>,
    ) -> Solved {
        moved.extend(plant.changes(self.standing, blown, gone, touching));
        match self.faults.solve(&moved) {
            Ok(faulted) => plant.read(self.standing, &faulted),
            Err(_) => plant.unknown(),
        }
    }
}

/// A state that tells nothing: all rests.
fn nothing_told() -> State {
    State {
        id: crate::model::Id::from_bits(0),
        label: String::new(),
        order: 0,
        words: String::new(),
        supply_v: None,
        switches: Vec::new(),
        parts: Vec::new(),
    }
}
