//! Where the current or level of a net comes from, traced through fuses and contacts into the units.

use std::{
    collections::{HashSet, VecDeque},
    hash::BuildHasherDefault,
    sync::Arc,
};

use super::{JOINT_OHM, Net, NetId, Nets};
use crate::{
    Book,
    model::{Cavity, Id, Mix, OutputSide, Part, PartKind, SignalKind, Terminal},
};

/// What an origin is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OriginKind {
    /// A source of power.
    Power,
    /// A sensor reference.
    Reference,
    /// An output of a unit.
    Output(OutputSide),
    /// A sensor's output.
    Sensor,
    /// A potentiometer's wiper.
    Wiper,
}

/// An inside part that gives a net its current or level.
#[derive(Debug, Clone, PartialEq)]
pub struct Origin {
    /// The part.
    pub part: Id<Part>,
    /// What it is.
    pub kind: OriginKind,
    /// Fuse ways, contacts, diodes and joints passed on the way, from the net to the part.
    pub through: Arc<[Id<Part>]>,
    /// The net the part itself is at.
    pub net: NetId,
}

/// The origins of a net, nearest first. In a large loom many sources feed one rail and the rail feeds most nets, so that they
/// are kept rail by rail, and what a rail is given is kept once for all.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Origins(pub(super) Vec<Reached>);

/// A net upstream that is given something.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reached {
    pub net: NetId,
    through: Arc<[Id<Part>]>,
    gives: Arc<[(Id<Part>, OriginKind)]>,
}

impl Origins {
    /// One by one.
    pub fn iter(&self) -> impl Iterator<Item = Origin> + Clone {
        self.0.iter().flat_map(|reached| {
            reached.gives.iter().map(|(part, kind)| Origin {
                part: *part,
                kind: *kind,
                through: Arc::clone(&reached.through),
                net: reached.net,
            })
        })
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The same with nets as they are numbered now; none: one of them is no more.
    pub(super) fn renumbered(&self, now: impl Fn(NetId) -> Option<NetId>) -> Option<Self> {
        let reached = self.0.iter().map(|reached| {
            Some(Reached {
                net: now(reached.net)?,
                through: Arc::clone(&reached.through),
                gives: Arc::clone(&reached.gives),
            })
        });
        reached.collect::<Option<Vec<_>>>().map(Self)
    }
}

/// What of a net's parts counts on the way upstream, in their order.
#[derive(Debug, Clone, Default)]
pub(super) struct Upstream {
    pub gives: Arc<[(Id<Part>, OriginKind)]>,
    passes: Vec<(Id<Part>, NetId)>,
}

impl Nets {
    /// The origins of a net, nearest first.
    pub fn origins(&self, start: NetId) -> Vec<Origin> {
        self.upstream_from(start).iter().collect()
    }

    /// The same to keep. Contacts are passed whether closed or not; fuse ways from load side to supply side only, diodes from
    /// cathode to anode only.
    pub(super) fn upstream_from(&self, start: NetId) -> Origins {
        let mut found = Origins::default();
        // Nothing leads to most nets.
        let leads_on = |net: NetId| self.upstream.get(net.0).is_some_and(|of| !of.passes.is_empty());
        let mut seen: HashSet<NetId, BuildHasherDefault<Mix>> = HashSet::default();
        if leads_on(start) {
            seen.insert(start);
        }
        let mut open: VecDeque<(NetId, Vec<Id<Part>>)> = VecDeque::from([(start, Vec::new())]);
        while let Some((at, through)) = open.pop_front() {
            let Some(upstream) = self.upstream.get(at.0) else {
                continue;
            };
            for (part, next) in &upstream.passes {
                if seen.insert(*next) {
                    let mut through = through.clone();
                    through.push(*part);
                    open.push_back((*next, through));
                }
            }
            // A part gives at one of its ends, so that it is met at one net.
            if !upstream.gives.is_empty() {
                found.0.push(Reached {
                    net: at,
                    through: through.into(),
                    gives: Arc::clone(&upstream.gives),
                });
            }
        }
        found.0.shrink_to_fit();
        found
    }

    /// Of each net, whether it is one of these, or its way upstream leads over one of them.
    pub(super) fn downstream(&self, from: impl Iterator<Item = NetId>) -> Vec<bool> {
        let mut leads_to: Vec<Vec<NetId>> = vec![Vec::new(); self.upstream.len()];
        for (at, upstream) in self.upstream.iter().enumerate() {
            for (_, next) in &upstream.passes {
                if let Some(further) = leads_to.get_mut(next.0) {
                    further.push(NetId(at));
                }
            }
        }
        let mut reached = vec![false; self.upstream.len()];
        let mut open: Vec<NetId> = from.collect();
        while let Some(at) = open.pop() {
            if let Some(known) = reached.get_mut(at.0)
                && !std::mem::replace(known, true)
            {
                open.extend(leads_to.get(at.0).into_iter().flatten());
            }
        }
        reached
    }

    pub(super) fn upstream_of(&self, book: &Book, net: &Net) -> Upstream {
        let mut upstream = Upstream::default();
        let mut given = Vec::new();
        for (id, place) in &net.parts {
            let Some(part) = book.get(*id) else { continue };
            if let Some(kind) = gives(&part.kind, *place) {
                given.push((*id, kind));
                continue;
            }
            let ends = passes(part, *place);
            upstream
                .passes
                .extend(ends.into_iter().filter_map(|end| Some((*id, self.at(end)?))));
        }
        if !given.is_empty() {
            upstream.gives = given.into();
        }
        upstream
    }

    /// Cavities of a net from which a signal can come, by their kind.
    pub fn source_cavities(&self, book: &Book, net: NetId) -> Vec<Id<Cavity>> {
        let is_source = |id: &Id<Cavity>| {
            book.get(*id)
                .and_then(|c| c.kind)
                .is_some_and(SignalKind::is_source)
        };
        self.get(net)
            .map(|net| net.cavities().filter(is_source).collect())
            .unwrap_or_default()
    }
}

/// What the part gives at this end.
fn gives(kind: &PartKind, place: usize) -> Option<OriginKind> {
    match (kind, place) {
        (PartKind::Source { .. }, 0) => Some(OriginKind::Power),
        (PartKind::Reference { .. }, 0) => Some(OriginKind::Reference),
        (
            PartKind::Output {
                side: OutputSide::HighSide,
                ..
            },
            1,
        ) => Some(OriginKind::Output(OutputSide::HighSide)),
        (PartKind::Output { side, .. }, 0) if *side != OutputSide::HighSide => {
            Some(OriginKind::Output(*side))
        }
        (PartKind::Ratiometric { .. }, 2) => Some(OriginKind::Sensor),
        (PartKind::Potentiometer { .. }, 2) => Some(OriginKind::Wiper),
        _ => None,
    }
}

/// The ends of a part that lie upstream of this one.
fn passes(part: &Part, place: usize) -> Vec<&Terminal> {
    let end = |place: usize| part.ends.get(place);
    match (&part.kind, place) {
        (PartKind::FuseWay { .. }, 1) => end(0).into_iter().collect(),
        (PartKind::Diode { .. }, 1) => end(0).into_iter().collect(),
        (PartKind::Contact { .. }, 0) => part.ends.iter().skip(1).collect(),
        (PartKind::Contact { .. }, _) => end(0).into_iter().collect(),
        (PartKind::Resistor { ohm }, _) if *ohm <= JOINT_OHM => end(1 - place.min(1)).into_iter().collect(),
        _ => Vec::new(),
    }
}
