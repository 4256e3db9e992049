//! What may change what is read, or which fuse opens, without deciding it: strong sources, and loads.

use crimpbook_core::network::{Element, Network, Start};

use super::{
    graph::{Edge, Sets},
    model::Moved,
    plant::{OnSet, Plant, Solved},
};
use crate::{
    analysis::suppose::OPENS_AT,
    model::{Part, PartKind},
};

/// How much more than by its own volts a source may lift what is read (our own).
const LIFT_SLACK: f64 = 0.01;
/// A load counts for a fuse from this share of what opens it, below which there is only rounding (our own).
const LOAD_SHARE: f64 = 1e-6;
/// A fuse opens of a fault that loads it by this much more.
const LOADS_MORE: f64 = 1.01;

/// What a mover does to what it does not decide: a source that is switched and as strong as what holds the circuit, or a load.
#[derive(Debug, Clone)]
pub(super) struct Sways {
    pub mover: usize,
    /// How far a source lifts or draws what holds the circuit, as a share of that.
    share: f64,
    /// What a source gives at most, so far it relieves a fuse that feeds the same, A.
    most_a: f64,
    /// What a source may give through each fuse in its own lead, beside the model's movers, A.
    gives_a: Vec<f64>,
    /// How much more a load has flow through each fuse, beside the model's movers, A.
    loads_a: Vec<f64>,
}

impl Sways {
    /// Between which shares of what they are voltages and currents are then.
    fn between(&self) -> (f64, f64) {
        (self.share.min(1.0) - LIFT_SLACK, self.share.max(1.0) + LIFT_SLACK)
    }
}

impl Plant<'_> {
    pub(super) fn lifts(&self) -> Vec<Sways> {
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
                } if self.supply_v > 0.0 => {
                    let most_a = limit_a.filter(|a| *a > 0.0).unwrap_or(f64::INFINITY);
                    let own = self.own_leads(edge).into_iter();
                    Some(Sways {
                        mover,
                        share: volts / self.supply_v,
                        most_a,
                        gives_a: own.map(|own| if own { most_a } else { 0.0 }).collect(),
                        loads_a: Vec::new(),
                    })
                }
                _ => None,
            }
        };
        self.edges.iter().filter_map(lift).collect()
    }

    /// The fuses that a source feeds alone, beside the model's movers: without one of them, no source that is never off is joined to
    /// it for sure.
    fn own_leads(&self, source: &Edge) -> Vec<bool> {
        let points = self.see.wiring().nodes.count();
        let own = |fuse: usize| {
            let (mut sure, mut may) = (Sets::new(points), Sets::new(points));
            for edge in self.edges.iter().filter(|edge| edge.joins && !edge.gives) {
                match edge.mover {
                    Some((mover, _)) if mover == fuse => continue,
                    Some((mover, _)) if !self.is_fuse(mover) => {}
                    _ => sure.join(edge.a, edge.b),
                }
                may.join(edge.a, edge.b);
            }
            let lasting = |edge: &&Edge| edge.joins && edge.gives && edge.mover.is_none();
            let held = sure.find(source.a);
            let is_held = self
                .edges
                .iter()
                .filter(lasting)
                .any(|edge| sure.find(edge.a) == held);
            let near = may.find(source.a);
            let leads = |edge: &Edge| {
                let is_it = edge.mover.is_some_and(|(mover, _)| mover == fuse);
                is_it && (may.find(edge.a) == near || may.find(edge.b) == near)
            };
            !is_held && self.edges.iter().any(leads)
        };
        let all = 0..self.model.movers.len();
        all.map(|mover| self.is_fuse(mover) && own(mover)).collect()
    }

    /// What flows through each fuse with all on that can be, and what each mover loads the fuses with, where all else is on but the
    /// sources, and where all else is off: the more of both. Nothing where that cannot be solved.
    pub(super) fn loads(&self) -> Option<(Vec<f64>, Vec<Sways>)> {
        let is_load = |mover: &u32| {
            let source = |source: &Sways| source.mover == *mover as usize;
            let sure = self.is_fuse(*mover as usize) || self.is_nobody(*mover as usize);
            !sure && !self.lifting.iter().any(source)
        };
        let loads: OnSet = (0..).take(self.model.movers.len()).filter(is_load).collect();
        let closes = |mover: &u32| self.moving.closed(&vec![*mover]) >= 0;
        let on: OnSet = loads.iter().copied().filter(closes).collect();
        let (mut all, full) = self.weighed(&on, &loads)?;
        let (_, bare) = self.weighed(&Vec::new(), &loads)?;
        // What draws the same power draws more where a fault takes the voltage down.
        let least_v = self
            .resting
            .circuit
            .elements()
            .iter()
            .filter_map(|element| match element {
                Element::PowerLoad { least_v, .. } => Some(*least_v),
                _ => None,
            });
        let swells = least_v.fold(1.0, |most, least_v| f64::max(most, self.supply_v / least_v));
        all.iter_mut().for_each(|a| *a *= swells);
        let load = |(mover, (full, bare)): (&u32, (Vec<f64>, Vec<f64>))| {
            let more = |(full, bare): (&f64, &f64)| if full.abs() >= bare.abs() { *full } else { *bare };
            let mut loads_a: Vec<f64> = full.iter().zip(&bare).map(more).collect();
            let mut most = 0.0;
            for (a, rating_a) in loads_a.iter_mut().zip(&self.rating_a) {
                *a *= swells;
                let share = rating_a.map_or(0.0, |rating_a| a.abs() / (rating_a * OPENS_AT));
                *a = if share >= LOAD_SHARE { *a } else { 0.0 };
                most = f64::max(most, share);
            }
            let sways = Sways {
                mover: *mover as usize,
                share: 1.0,
                most_a: 0.0,
                gives_a: Vec::new(),
                loads_a,
            };
            (most >= LOAD_SHARE).then_some((most, sways))
        };
        let each = loads.iter().zip(full.into_iter().zip(bare));
        let mut sways: Vec<(f64, Sways)> = each.filter_map(load).collect();
        sways.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        Some((all, sways.into_iter().map(|(_, sways)| sways).collect()))
    }

    /// What flows through the fuses with these on, and how much more with each load by itself than without.
    fn weighed(&self, on: &OnSet, loads: &[u32]) -> Option<(Vec<f64>, Vec<Vec<f64>>)> {
        let standing = self.standing(on);
        let network = Network::new(standing.circuit.clone()).ok()?;
        let point = network.operate(&Start::Released).ok()?;
        let faults = point.faults();
        let all = self.read(&standing, &faults.solve(&[]).ok()?).fuse_a;
        let load = |mover: &u32| {
            let is_on = on.contains(mover);
            let others = on.iter().copied().filter(|other| other != mover);
            let mut other: OnSet = others.chain((!is_on).then_some(*mover)).collect();
            other.sort_unstable();
            let moved = match self.moving.between(on, &other) {
                Some(changes) => self.read(&standing, &faults.solve(&changes).ok()?),
                // What no small change turns is solved from nothing.
                None => {
                    let standing = self.standing(&other);
                    let network = network.again(standing.circuit.clone()).ok()?;
                    let point = network.operate(&Start::Released).ok()?;
                    self.read(&standing, &point.faults().solve(&[]).ok()?)
                }
            };
            let more = |(now, then): (&f64, &f64)| if is_on { then - now } else { now - then };
            Some(moved.fuse_a.iter().zip(&all).map(more).collect())
        };
        let loads = loads.iter().map(load).collect::<Option<Vec<Vec<f64>>>>()?;
        Some((all, loads))
    }

    /// Whether a strong source feeds a fuse alone.
    pub(super) fn leads_a_source(&self, fuse: usize) -> bool {
        let feeds = |source: &Sways| source.gives_a.get(fuse).is_some_and(|a| *a > 0.0);
        self.lifting.iter().any(feeds)
    }

    /// Those of the movers that are on, without strong sources.
    pub(super) fn weak(&self, on: &OnSet) -> OnSet {
        let strong = |mover: &u32| self.lifting.iter().any(|source| source.mover == *mover as usize);
        on.iter().copied().filter(|mover| !strong(mover)).collect()
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

    /// What could change what is read, or which fuse opens.
    pub(super) fn sways(&self, fuses: bool) -> &[Sways] {
        if fuses { &self.loading } else { &self.lifting }
    }

    /// Whether what is not decided, a mover and what else is left, could change which fuse opens; none: not the mover, whatever the others do.
    pub(super) fn sways_fuses(
        &self,
        before: &Solved,
        solved: &Solved,
        mover: &Sways,
        left: &[usize],
    ) -> Option<bool> {
        let left = || left.iter().filter_map(|at| self.loading.get(*at)).chain([mover]);
        let sources = || left().filter(|sways| sways.most_a > 0.0);
        let is_source = sources().next().is_some();
        let between = left().map(Sways::between);
        let (least, most) = if is_source {
            let between = sources().map(Sways::between);
            between.fold((1.0, 1.0), |(least, most), (low, high)| {
                (least * low, most * high)
            })
        } else {
            between.fold((1.0, 1.0), |_, (low, _)| (low, 1.0))
        };
        let relieved_a: f64 = sources().map(|source| source.most_a).sum();
        let sum = |fuse: usize, of: fn(&Sways) -> &[f64], way: fn(f64) -> f64| -> f64 {
            let all = left().filter_map(|sways| of(sways).get(fuse));
            all.map(|a| way(*a)).sum()
        };
        // What each fuse is loaded with then, at least and at most, and without the fault at most, as shares of what opens it.
        let share = |fuse: usize| {
            let opens_a = (*self.rating_a.get(fuse)?)? * OPENS_AT;
            let (was, a) = (before.fuse_a.get(fuse)?, solved.fuse_a.get(fuse)?);
            let gives = sum(fuse, |sways| &sways.gives_a, |a| a);
            let more = sum(fuse, |sways| &sways.loads_a, |a| a.max(0.0));
            let less = sum(fuse, |sways| &sways.loads_a, |a| -a.min(0.0));
            // Several movers may decide one load.
            let all = self.loaded_a.get(fuse).copied().unwrap_or_default();
            let more = f64::min(more, all) + gives;
            // A load takes nothing off what feeds it.
            let keeps = if !is_source && more > 0.0 { 1.0 } else { least };
            let low = a * keeps - relieved_a - f64::min(less, all);
            let [low, high, was] = [low, a * most + more, was * most + more].map(|a| a / opens_a);
            Some((fuse, low, high, was))
        };
        let shares: Vec<(usize, f64, f64, f64)> = (0..self.rating_a.len()).filter_map(share).collect();
        let open = || shares.iter().filter(|(_, _, high, _)| *high >= 1.0);
        open().next()?;
        // One opens for sure, before any other.
        let sure = |&(at, low, _, was): &(usize, f64, f64, f64)| {
            let others = open().filter(|(other, ..)| *other != at);
            low >= others.fold(1.0, |most, (_, _, high, _)| f64::max(most, *high)) && low > LOADS_MORE * was
        };
        if open().any(sure) {
            return None;
        }
        let loads = |(fuse, ..): &(usize, f64, f64, f64)| mover.loads_a.get(*fuse).is_some_and(|a| *a != 0.0);
        Some(mover.most_a > 0.0 || open().any(loads))
    }

    /// The fuse furthest above its rating that a fault loads more than it was; none opens otherwise.
    pub(super) fn opens(&self, before: &Solved, now: &Solved, blown: &[u32]) -> Option<usize> {
        let over = |at: usize| -> Option<f64> {
            let rating_a = (*self.rating_a.get(at)?)?;
            let (was, is) = (before.fuse_a.get(at)?, now.fuse_a.get(at)?);
            let opens = *is >= OPENS_AT * rating_a && *is > was * LOADS_MORE && !blown.contains(&(at as u32));
            opens.then_some(is / rating_a)
        };
        let all = (0..self.rating_a.len()).filter_map(|at| Some((at, over(at)?)));
        all.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at)
    }
}
