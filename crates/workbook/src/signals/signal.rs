//! What each net carries, for the screen of sources and for checks.

use std::{
    collections::{HashMap, HashSet},
    hash::BuildHasherDefault,
    ops::Range,
    sync::Arc,
    thread::ScopedJoinHandle,
};

use super::ground::{Source, UnitGrounds, reference};
use super::{Need, Net, NetId, Nets, Origin, OriginKind, Origins, need};
use crate::{
    Book,
    model::{About, Cavity, Id, Mix, OutputSide, Part, PartKind, SignalKind, Terminal},
};

/// From as many nets on the work is shared; a thread costs as much as some tens of them (our own bound).
const MANY_NETS: usize = 1_000;

/// What a net carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Signal {
    /// The net.
    pub net: NetId,
    /// Cavities from which it can come, by their kind.
    pub sources: Vec<Id<Cavity>>,
    /// Inside parts it comes from, traced through fuses and contacts; empty where no inside parts are entered.
    pub origins: Origins,
    /// Cavities that need it.
    pub sinks: Vec<Id<Cavity>>,
    /// What its level is measured against.
    pub reference: Arc<[Terminal]>,
    /// Whether it is ground.
    pub is_ground: bool,
    /// Its level when on, V: of its origin, else as its wires state.
    pub level_v: Option<f64>,
    /// How long it stays after it is switched off, at most, s, where a source's manual says.
    pub release_s: Option<f64>,
    /// Sum of what the manuals say its sinks draw, A; none: no manual says.
    pub load_a: Option<f64>,
}

impl Signal {
    /// Whether anything gives it a level.
    pub fn has_source(&self) -> bool {
        !self.sources.is_empty() || !self.origins.is_empty()
    }

    /// Whether something on it gives current at a supply's level.
    pub fn has_supply(&self, book: &Book) -> bool {
        let by_kind = |id: &Id<Cavity>| {
            matches!(
                book.get(*id).and_then(|c| c.kind),
                Some(
                    SignalKind::SupplyOut
                        | SignalKind::SensorSupply
                        | SignalKind::HighSideOut
                        | SignalKind::SwitchContact
                )
            )
        };
        let by_part = |origin: Origin| {
            matches!(
                origin.kind,
                OriginKind::Power
                    | OriginKind::Reference
                    | OriginKind::Output(OutputSide::HighSide | OutputSide::PushPull)
            )
        };
        self.sources.iter().any(by_kind) || self.origins.iter().any(by_part)
    }
}

/// Nets, and what each carries.
#[derive(Debug, Clone, Default)]
pub struct Signals {
    /// The nets.
    pub nets: Nets,
    /// One signal a net, in the order of nets.
    pub all: Vec<Signal>,
}

impl Signals {
    /// The signals of this book.
    pub fn of(book: &Book) -> Self {
        let nets = Nets::of(book);
        let grounds = nets.grounds(book);
        // The work of a large book is shared between two threads.
        let half = if nets.len() < MANY_NETS { 0 } else { nets.len() / 2 };
        let carried = |places: Range<usize>| {
            let mut against = Against::default();
            let signal = |id| carried_by(book, &nets, id, &grounds, &mut against);
            places.map(NetId).map(signal).collect()
        };
        let all = std::thread::scope(|scope| {
            let first = (half > 0).then(|| scope.spawn(|| carried(0..half)));
            let second: Vec<Signal> = carried(half..nets.len());
            let mut all = match first.map(ScopedJoinHandle::join) {
                Some(first) => first.unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
                None => Vec::new(),
            };
            all.extend(second);
            all
        });
        Self { nets, all }
    }

    /// The signal of a net.
    pub fn get(&self, net: NetId) -> Option<&Signal> {
        self.all.get(net.0)
    }

    /// The signal at a cavity.
    pub fn at_cavity(&self, cavity: Id<Cavity>) -> Option<&Signal> {
        self.get(self.nets.at_cavity(cavity)?)
    }
}

pub(super) fn carried_by(
    book: &Book,
    nets: &Nets,
    id: NetId,
    grounds: &HashSet<NetId>,
    against: &mut Against,
) -> Signal {
    let sources = nets.source_cavities(book, id);
    let origins = nets.upstream_from(id);
    let has_need = |id: &Id<Cavity>| {
        book.get(*id)
            .and_then(|c| c.kind)
            .is_some_and(|kind| need(kind) != Need::Nothing)
    };
    let cavities = nets.get(id).into_iter().flat_map(Net::cavities);
    let sinks: Vec<Id<Cavity>> = cavities.filter(has_need).collect();
    Signal {
        net: id,
        release_s: largest(&sources, |c| book.get(c).and_then(|c| c.limits.release_s)),
        load_a: total(&sinks, |c| book.get(c).and_then(|c| c.limits.most_a)),
        level_v: level(book, nets, id, &origins),
        is_ground: grounds.contains(&id),
        reference: against.of(book, nets, &sources, &origins),
        sources,
        origins,
        sinks,
    }
}

/// What levels are measured against. What a net's own parts are measured against is sought once, and kept once where no
/// other source joins in.
#[derive(Default)]
pub(super) struct Against {
    of_net: HashMap<NetId, Arc<[Terminal]>>,
    grounds: UnitGrounds,
    /// Each list of terminals once: most nets of a large loom have one of a few.
    lists: HashSet<Arc<[Terminal]>, BuildHasherDefault<Mix>>,
}

impl Against {
    fn of(&mut self, book: &Book, nets: &Nets, sources: &[Id<Cavity>], origins: &Origins) -> Arc<[Terminal]> {
        if let ([], [only]) = (sources, origins.0.as_slice()) {
            return self.of_net(book, nets, only.net);
        }
        let mut all: Vec<Terminal> = Vec::new();
        for source in sources {
            all.extend(reference(book, Source::Cavity(*source), &mut self.grounds));
        }
        for reached in &origins.0 {
            all.extend(self.of_net(book, nets, reached.net).iter().cloned());
        }
        each_once(all, &mut self.lists)
    }

    fn of_net(&mut self, book: &Book, nets: &Nets, net: NetId) -> Arc<[Terminal]> {
        let gives = nets.upstream.get(net.0).map(|upstream| &upstream.gives);
        let all = || gives.into_iter().flat_map(|gives| gives.iter());
        let Self {
            of_net,
            grounds,
            lists,
        } = self;
        let found = of_net.entry(net).or_insert_with(|| {
            let mut of_part = |(part, _): &(Id<Part>, _)| reference(book, Source::Part(*part), grounds);
            each_once(all().flat_map(&mut of_part).collect(), lists)
        });
        Arc::clone(found)
    }
}

fn each_once(
    mut all: Vec<Terminal>,
    lists: &mut HashSet<Arc<[Terminal]>, BuildHasherDefault<Mix>>,
) -> Arc<[Terminal]> {
    all.sort_unstable();
    all.dedup();
    if let Some(list) = lists.get(all.as_slice()) {
        return Arc::clone(list);
    }
    let list: Arc<[Terminal]> = all.into();
    lists.insert(Arc::clone(&list));
    list
}

fn level(book: &Book, nets: &Nets, id: NetId, origins: &Origins) -> Option<f64> {
    let nominal = || book.all::<About>().values().next().map(|a| a.supply.nominal_v);
    let given = origins
        .iter()
        .find_map(|origin| match book.get(origin.part)?.kind {
            PartKind::Source { volts_v, .. } => volts_v.or_else(nominal),
            PartKind::Reference { volts_v, .. } => Some(volts_v),
            _ => None,
        });
    given.or_else(|| {
        let wires = nets.get(id)?.wires.iter();
        wires.filter_map(|w| book.get(*w)?.nominal_v).reduce(f64::max)
    })
}

fn largest(of: &[Id<Cavity>], value: impl Fn(Id<Cavity>) -> Option<f64>) -> Option<f64> {
    of.iter().filter_map(|c| value(*c)).reduce(f64::max)
}

fn total(of: &[Id<Cavity>], value: impl Fn(Id<Cavity>) -> Option<f64>) -> Option<f64> {
    of.iter().filter_map(|c| value(*c)).reduce(|a, b| a + b)
}
