//! Walking downstream from the sources.

use std::{cmp::Reverse, collections::BinaryHeap};

use super::{
    FuseAt, FuseZone, Protection, Step, WireFeed,
    edges::{By, Edge, Edges, Ohm},
};
use crate::{
    analysis::Snapshot,
    circuit::Node,
    model::{About, Cavity, Fuse, Id, LoadMode, Part, PartKind, SignalKind, Wire},
    signals::JOINT_OHM,
};

/// A load below this current draws nothing much, A.
const MUCH_A: f64 = 0.3;

/// How a point is reached.
#[derive(Debug, Clone, Copy)]
struct Reached {
    source: usize,
    fuse: Option<Id<Fuse>>,
    ohm: f64,
    limited_a: Option<f64>,
    from: Option<Node>,
    behind: Step,
}

struct Walk<'a> {
    see: &'a Snapshot,
    edges: &'a Edges,
    reached: Vec<Option<Reached>>,
    order: Vec<Node>,
    out: Protection,
}

/// Something that feeds.
struct Source {
    at: usize,
    plus: Node,
    ohm: f64,
    volts: f64,
    limited_a: Option<f64>,
}

pub(super) fn walk(see: &Snapshot, edges: &Edges) -> Protection {
    let mut walk = Walk {
        see,
        edges,
        reached: vec![None; edges.from.len()],
        order: Vec::new(),
        out: Protection {
            wires: vec![None; see.wiring().wires.len()],
            ..Protection::default()
        },
    };
    let (strong, weak): (Vec<Source>, Vec<Source>) =
        sources(see).into_iter().partition(|s| s.limited_a.is_none());
    walk.from(&strong);
    walk.from(&weak);
    walk.place_draws();
    walk.place_wires_within();
    walk.out.behind = walk.reached.iter().map(|r| r.map(|r| r.behind)).collect();
    walk.out
}

fn sources(see: &Snapshot) -> Vec<Source> {
    let book = see.book();
    let nominal_v = book.all::<About>().values().next().map(|a| a.supply.nominal_v);
    let places = see.wiring().parts.iter().enumerate();
    places
        .filter_map(|(at, run)| {
            let plus = *run.ends.first()?;
            let (volts, ohm, limit) = match &book.get(run.part)?.kind {
                PartKind::Source {
                    volts_v,
                    ohm,
                    limit_a,
                    ..
                } => (volts_v.or(nominal_v).unwrap_or(12.6), *ohm, *limit_a),
                PartKind::Reference {
                    volts_v,
                    ohm,
                    limit_a,
                } => (*volts_v, *ohm, *limit_a),
                _ => return None,
            };
            // A source behind ohms limits its current by itself.
            let weak_a = (ohm > JOINT_OHM / 2.0).then(|| volts.abs() / ohm);
            Some(Source {
                at,
                plus,
                ohm,
                volts,
                limited_a: limit.or(weak_a),
            })
        })
        .collect()
}

impl Walk<'_> {
    fn from(&mut self, sources: &[Source]) {
        let mut open = BinaryHeap::new();
        // Steps waiting by number, so that the heap needs to order ohms only.
        let mut steps: Vec<(Reached, Node, Option<Edge>)> = Vec::new();
        for source in sources {
            self.out.volts.insert(source.at, source.volts);
            let reached = Reached {
                source: source.at,
                fuse: None,
                ohm: source.ohm,
                limited_a: source.limited_a,
                from: None,
                behind: Step::Source(source.at),
            };
            open.push(Reverse((Ohm(source.ohm), steps.len())));
            steps.push((reached, source.plus, None));
        }
        while let Some(Reverse((_, step))) = open.pop() {
            let Some((reached, node, by)) = steps.get(step).copied() else {
                continue;
            };
            let Some(slot) = self.reached.get_mut(node as usize).filter(|r| r.is_none()) else {
                continue;
            };
            *slot = Some(reached);
            self.order.push(node);
            self.note(&reached, node, by);
            for edge in self.edges.from.get(node as usize).into_iter().flatten() {
                let mut next = Reached {
                    ohm: reached.ohm + edge.ohm,
                    from: Some(node),
                    ..reached
                };
                match edge.by {
                    By::Fuse { fuse, .. } => {
                        next.fuse = Some(fuse);
                        next.behind = Step::Fuse(fuse);
                    }
                    By::Wire { at, .. } => {
                        let inline = self.inline(at);
                        next.fuse = inline.or(reached.fuse);
                        next.behind = inline.map_or(Step::Wire(at), Step::Fuse);
                    }
                    By::Output { most_a: Some(most) } => {
                        next.limited_a = Some(next.limited_a.map_or(most, |known| known.min(most)));
                    }
                    By::Joint | By::Output { most_a: None } => {}
                }
                open.push(Reverse((Ohm(next.ohm), steps.len())));
                steps.push((next, edge.to, Some(*edge)));
            }
        }
    }

    fn inline(&self, at: usize) -> Option<Id<Fuse>> {
        self.see.wiring().wires.get(at)?.fuse.map(|(fuse, _)| fuse)
    }

    /// Notes what the step to a point passed.
    fn note(&mut self, reached: &Reached, node: Node, by: Option<Edge>) {
        let before = reached
            .from
            .and_then(|from| self.reached.get(from as usize).copied().flatten());
        let above = before.and_then(|r| r.fuse);
        let behind = before.map_or(Step::Source(reached.source), |r| r.behind);
        match by.map(|edge| edge.by) {
            Some(By::Fuse { at, fuse }) => self.zone(fuse, (above, behind), reached, FuseAt::Part(at)),
            Some(By::Wire { at, forward }) => {
                if let Some(fuse) = self.inline(at) {
                    self.zone(fuse, (above, Step::Wire(at)), reached, FuseAt::Wire(at));
                }
                self.feed(at, forward, (above, behind), reached);
            }
            _ => {}
        }
        if let Some(zone) = self.out.zones.iter_mut().find(|z| Some(z.fuse) == reached.fuse) {
            zone.nodes.push(node);
        }
    }

    fn zone(
        &mut self,
        fuse: Id<Fuse>,
        (above, behind): (Option<Id<Fuse>>, Step),
        reached: &Reached,
        at: FuseAt,
    ) {
        if self.out.zones.iter().all(|z| z.fuse != fuse) {
            self.out.zones.push(FuseZone {
                fuse,
                above,
                behind,
                source: reached.source,
                ohm: reached.ohm,
                wires: Vec::new(),
                nodes: Vec::new(),
                at,
            });
        }
    }

    fn feed(
        &mut self,
        at: usize,
        enters_from: bool,
        (above, behind): (Option<Id<Fuse>>, Step),
        reached: &Reached,
    ) {
        let wire = self
            .see
            .wiring()
            .wires
            .get(at)
            .and_then(|run| self.see.book().get(run.wire));
        let inline = wire.and_then(|w: &Wire| w.inline_fuse);
        let bare_m = inline.map_or(0.0, |inline| {
            let length_m = wire.and_then(|w| w.length_m).unwrap_or(inline.from_end_m);
            let from_source = if enters_from {
                inline.from_end_m
            } else {
                length_m - inline.from_end_m
            };
            from_source.max(0.0)
        });
        if let Some(slot) = self.out.wires.get_mut(at) {
            *slot = Some(WireFeed {
                source: reached.source,
                fuse: reached.fuse,
                before: inline.and(above),
                behind,
                bare_m,
                enters_from,
                far_ohm: reached.ohm,
                draws: false,
                limited_a: reached.limited_a,
            });
        }
    }

    /// Wires that the walk met from both ends: they belong to where their nearer end belongs. Then lists them by fuse.
    fn place_wires_within(&mut self) {
        let wiring = self.see.wiring();
        for (at, run) in wiring.wires.iter().enumerate() {
            let end = |node: Node| self.reached.get(node as usize).copied().flatten();
            if let (None, Some(from), Some(to)) = (
                self.out.wires.get(at).copied().flatten(),
                end(run.from),
                end(run.to),
            ) {
                let near = if from.ohm <= to.ohm { from } else { to };
                let reached = Reached {
                    fuse: self.inline(at).or(near.fuse),
                    ohm: near.ohm + run.wire_ohm(1.0),
                    ..near
                };
                self.feed(at, from.ohm <= to.ohm, (near.fuse, near.behind), &reached);
            }
        }
        for (at, feed) in self.out.wires.iter().enumerate() {
            let zone = feed.and_then(|f| f.fuse);
            if let Some(zone) = self.out.zones.iter_mut().find(|z| Some(z.fuse) == zone) {
                zone.wires.push(at);
            }
        }
    }

    /// Marks the wires downstream of which something can really draw much.
    fn place_draws(&mut self) {
        let book = self.see.book();
        let wiring = self.see.wiring();
        let mut draws = vec![false; self.reached.len()];
        let mut mark = |node: Option<Node>| {
            if let Some(slot) = node.and_then(|n| draws.get_mut(n as usize)) {
                *slot = true;
            }
        };
        for run in &wiring.parts {
            if book.get(run.part).is_some_and(draws_much) {
                run.ends.iter().for_each(|end| mark(Some(*end)));
            }
        }
        for cavity in book.all::<Cavity>().values() {
            let much = matches!(
                cavity.kind,
                Some(SignalKind::Motor | SignalKind::Lamp | SignalKind::SupplyOut | SignalKind::SupplyIn)
            );
            if much {
                mark(
                    wiring
                        .nodes
                        .unit_side(cavity.id)
                        .or_else(|| wiring.nodes.wire_side(cavity.id)),
                );
            }
        }
        for node in self.order.iter().rev() {
            let above = self
                .reached
                .get(*node as usize)
                .copied()
                .flatten()
                .and_then(|r| r.from);
            if draws.get(*node as usize).copied().unwrap_or(false)
                && let Some(slot) = above.and_then(|n| draws.get_mut(n as usize))
            {
                *slot = true;
            }
        }
        for (at, run) in wiring.wires.iter().enumerate() {
            if let Some(Some(feed)) = self.out.wires.get_mut(at) {
                let far = if feed.enters_from { run.to } else { run.from };
                feed.draws = draws.get(far as usize).copied().unwrap_or(false);
            }
        }
    }
}

fn draws_much(part: &Part) -> bool {
    match &part.kind {
        PartKind::Lamp { .. } => true,
        PartKind::Load { mode, .. } => match mode {
            LoadMode::Current { current_a } => *current_a >= MUCH_A,
            LoadMode::Resistance { ohm } => *ohm < 12.0 / MUCH_A,
            LoadMode::Power { power_w } => *power_w >= 12.0 * MUCH_A,
        },
        _ => false,
    }
}
