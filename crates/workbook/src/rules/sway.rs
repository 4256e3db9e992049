//! What may change what is read, or which fuse opens, without deciding it: strong sources, and loads.

use crimpbook_core::network::{Network, Start};

use super::{
    graph::Edge,
    model::Moved,
    plant::{OnSet, Plant, Solved},
};
use crate::{
    analysis::suppose::OPENS_AT,
    model::{Part, PartKind},
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
    pub(super) fn loads(&self) -> Option<(Vec<f64>, Vec<Sways>)> {
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

    /// What could change what is read, or which fuse opens.
    pub(super) fn sways(&self, fuses: bool) -> &[Sways] {
        if fuses { &self.loading } else { &self.lifting }
    }

    /// Whether a mover could change which fuse opens, with what else is left to decide.
    pub(super) fn sways_fuses(&self, solved: &Solved, sways: &Sways, left: &[usize]) -> bool {
        let (least, most) = sways.between();
        let all = self.rating_a.iter().zip(&solved.fuse_a).enumerate();
        let is_source = sways.most_a > 0.0;
        // Between which shares of what opens it each fuse is loaded then.
        let share = |(fuse, (rating, a)): (usize, (&Option<f64>, &f64))| {
            let opens_a = (*rating)? * OPENS_AT;
            let (mut less, mut more) = (0.0, 0.0);
            for load in left
                .iter()
                .filter_map(|at| self.loading.get(*at))
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
}
