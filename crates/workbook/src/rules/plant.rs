//! The circuit that rules are proven on: for each position of what moves it gives what is read.

use std::sync::Arc;

use crimpbook_core::network::{Change, ElementId, Faulted, Faults, Network, OperatingPoint, Start};

use super::{
    fault::fuse_of,
    graph::{Edge, Element, edges},
    many::Moving,
    model::{Model, Moved, Moves, Read},
    sway::Sways,
};
use crate::{
    analysis::{
        Snapshot,
        suppose::{Reads, SHORT_OHM},
    },
    circuit::{Node, Standing, Stands},
    model::{About, PartKind, PartPosition, State},
};

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
    pub loaded_a: Vec<f64>,
    rest: Stands,
    pub supply_v: f64,
    copper: Vec<f64>,
    /// Beside the model's movers.
    pub rating_a: Vec<Option<f64>>,
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
    /// Volts of every point against battery negative, with movers that stand otherwise, fuses blown and two points touching, or as it is; none where that is no small
    /// change or is not solved.
    pub(super) fn volts(
        &self,
        plant: &Plant<'_>,
        moved: Option<Vec<Change>>,
        blown: &[u32],
        touching: Option<(Node, Node)>,
    ) -> Vec<Option<f64>> {
        let count = plant.see.wiring().nodes.count();
        let faulted = moved.and_then(|mut changes| {
            changes.extend(plant.changes(self.standing, blown, &[], touching));
            self.faults.solve(&changes).ok()
        });
        let Some(faulted) = faulted else {
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
