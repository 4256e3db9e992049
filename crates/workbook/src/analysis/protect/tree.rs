//! The supply tree as rows: sources, fuses, wires and loads, each beneath what the supply passes last before it.

use std::collections::HashMap;

use crimpbook_core::fuse::{Grade, WireOverload};

use super::{Protection, Step, Trial, beneath};
use crate::{
    analysis::{Snapshot, StateResult, Worst},
    book::natural,
    circuit::Node,
    model::{Fuse, Id, Part, PartKind},
    signals::JOINT_OHM,
};

/// What stands in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Twig {
    /// A source: its place among the wiring's parts.
    Source(usize),
    /// A fuse.
    Fuse(Id<Fuse>),
    /// A wire: its place among the wiring's wires.
    Wire(usize),
    /// A load, lamp or coil: its place among the wiring's parts.
    Load(usize),
}

/// Figures of a row, each the worst over all operating states.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Figures {
    /// The largest current, A, and where it flows.
    pub current_a: Option<Worst>,
    /// A wire's conductor at its hottest, °C.
    pub conductor_c: Option<f64>,
    /// A wire's class for ever, °C.
    pub class_c: Option<f64>,
    /// A wire: what it drops with its contacts at its largest current, V. A load: what is lost on the way to it.
    pub drop_v: Option<f64>,
    /// A load: what of that is lost on the way back, V, and from which source it is counted, by its place among the parts.
    pub back: Option<(f64, usize)>,
    /// What a fuse and the wires beneath it are worth, or one of those wires.
    pub grade: Option<Grade>,
    /// A wire beneath a fuse: what it must bear.
    pub verdict: Option<WireOverload>,
}

/// A row of the tree.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeRow {
    /// How many rows it stands beneath.
    pub depth: usize,
    /// What it is.
    pub twig: Twig,
    /// Its figures.
    pub figures: Figures,
}

/// The supply tree.
#[derive(Debug, Clone, Default)]
pub struct Tree {
    /// Its rows from the sources down.
    pub rows: Vec<TreeRow>,
    /// Wires that carry no supply: returns, and what lies behind a load.
    pub others: usize,
}

impl Tree {
    /// The tree of a snapshot.
    pub fn of(see: &Snapshot) -> Self {
        let protection = see.protection();
        let beneath = children(see, protection);
        let verdicts = verdicts(see, protection);
        let mut sources: Vec<usize> = beneath
            .keys()
            .filter_map(|step| match step {
                Step::Source(at) => Some(*at),
                _ => None,
            })
            .collect();
        // Strong sources first, then as they are called.
        let weight = |at: &usize| beneath.get(&Step::Source(*at)).map_or(0, Vec::len);
        sources.sort_by_cached_key(|at| {
            let strong = is_source(see, *at);
            (
                !strong,
                std::cmp::Reverse(weight(at)),
                natural(&label(see, Twig::Source(*at))),
            )
        });
        let mut rows = Vec::new();
        let mut open: Vec<(usize, Twig)> = sources
            .into_iter()
            .rev()
            .map(|at| (0, Twig::Source(at)))
            .collect();
        while let Some((depth, twig)) = open.pop() {
            rows.push(TreeRow {
                depth,
                twig,
                figures: figures(see, twig, &verdicts),
            });
            let below = twig.step().and_then(|step| beneath.get(&step));
            open.extend(below.into_iter().flatten().rev().map(|twig| (depth + 1, *twig)));
        }
        let others = protection.wires.iter().filter(|feed| feed.is_none()).count();
        Self { rows, others }
    }
}

impl Twig {
    fn step(self) -> Option<Step> {
        Some(match self {
            Self::Source(at) => Step::Source(at),
            Self::Fuse(id) => Step::Fuse(id),
            Self::Wire(at) => Step::Wire(at),
            Self::Load(_) => return None,
        })
    }
}

fn is_source(see: &Snapshot, at: usize) -> bool {
    let part = see
        .wiring()
        .parts
        .get(at)
        .and_then(|run| see.book().get(run.part));
    matches!(part.map(|p: &Part| &p.kind), Some(PartKind::Source { .. }))
}

fn label(see: &Snapshot, twig: Twig) -> String {
    let (book, wiring) = (see.book(), see.wiring());
    match twig {
        Twig::Source(at) | Twig::Load(at) => wiring.parts.get(at).map(|run| book.label_of(run.part)),
        Twig::Wire(at) => wiring.wires.get(at).map(|run| book.label_of(run.wire)),
        Twig::Fuse(id) => Some(book.label_of(id)),
    }
    .unwrap_or_default()
}

/// What stands directly beneath each step, fuses first, then wires, then loads, each as they are called.
fn children(see: &Snapshot, protection: &Protection) -> HashMap<Step, Vec<Twig>> {
    let mut all: HashMap<Step, Vec<Twig>> = HashMap::new();
    let fuses = protection.zones.iter().map(|z| (z.behind, Twig::Fuse(z.fuse)));
    let feeds = protection.wires.iter().enumerate();
    let wires = feeds.filter_map(|(at, feed)| Some((feed.as_ref()?.behind, Twig::Wire(at))));
    let parts = see.wiring().parts.iter().enumerate();
    let loads = parts.filter_map(|(at, _)| Some((fed_by(see, at)?, Twig::Load(at))));
    for (step, twig) in fuses.chain(wires).chain(loads) {
        all.entry(step).or_default().push(twig);
    }
    for twigs in all.values_mut() {
        twigs.sort_by_cached_key(|twig| {
            let rank = match twig {
                Twig::Source(_) | Twig::Fuse(_) => 0,
                Twig::Wire(_) => 1,
                Twig::Load(_) => 2,
            };
            (rank, natural(&label(see, *twig)))
        });
    }
    all
}

/// The step behind which a load, lamp or coil draws; none: it is none, or no source reaches it.
fn fed_by(see: &Snapshot, at: usize) -> Option<Step> {
    let run = see.wiring().parts.get(at)?;
    let part: &Part = see.book().get(run.part)?;
    matches!(
        part.kind,
        PartKind::Load { .. } | PartKind::Lamp { .. } | PartKind::Coil { .. }
    )
    .then_some(())?;
    let behind = &see.protection().behind;
    run.ends
        .iter()
        .find_map(|end| behind.get(*end as usize).copied().flatten())
}

/// What is found out once for all rows: the verdict on each wire beneath a fuse and on each fuse, and the strong sources.
struct Known {
    strong: Vec<usize>,
    wires: HashMap<usize, WireOverload>,
    fuses: HashMap<Id<Fuse>, Grade>,
}

fn verdicts(see: &Snapshot, protection: &Protection) -> Known {
    let mut known = Known {
        strong: strong_sources(see),
        wires: HashMap::new(),
        fuses: HashMap::new(),
    };
    for zone in &protection.zones {
        let Some(found) = beneath(see, zone, &Trial::default()) else {
            continue;
        };
        let overload = see.verdicts().overload(&found);
        known.fuses.insert(zone.fuse, overload.grade);
        for verdict in overload.wires {
            if let Some(place) = found.places.get(verdict.wire) {
                known.wires.insert(*place, verdict);
            }
        }
    }
    known
}

fn figures(see: &Snapshot, twig: Twig, known: &Known) -> Figures {
    let most = |current: &dyn Fn(&StateResult) -> f64| {
        let states = see.states().iter().enumerate();
        states
            .map(|(state, of)| Worst {
                value: current(of),
                state,
            })
            .reduce(|a, b| if b.value > a.value { b } else { a })
    };
    match twig {
        Twig::Source(at) => Figures {
            // What a source takes in is not what it gives.
            current_a: most(&|of| of.operated.part_a(at).max(0.0)),
            ..Figures::default()
        },
        Twig::Fuse(id) => Figures {
            current_a: see
                .protection()
                .zone(id)
                .and_then(|zone| most(&|of| zone.current_a(of))),
            grade: known.fuses.get(&id).copied(),
            ..Figures::default()
        },
        Twig::Wire(at) => {
            let worst = see.worst().get(at).copied().unwrap_or_default();
            let conductor_c = worst.conductor_c.map(|w| w.value);
            let verdict = known.wires.get(&at).cloned();
            Figures {
                current_a: worst.current_a,
                conductor_c,
                class_c: see.warmth().wires.get(at).and_then(|w| w.class_c()),
                drop_v: worst.current_a.map(|a| {
                    see.wire_drop_v(at, a.value, conductor_c.filter(|c| c.is_finite()).unwrap_or(20.0))
                }),
                grade: verdict.as_ref().map(|v| v.grade),
                verdict,
                ..Figures::default()
            }
        }
        Twig::Load(at) => {
            let current_a = most(&|of| of.operated.part_a(at).abs());
            let lost =
                current_a.and_then(|worst| lost_v(see, at, &known.strong, see.states().get(worst.state)?));
            Figures {
                current_a,
                drop_v: lost.map(|(there_v, back_v, _)| there_v + back_v),
                back: lost.map(|(_, back_v, source)| (back_v, source)),
                ..Figures::default()
            }
        }
    }
}

/// Sources that give as much as the loom asks for.
fn strong_sources(see: &Snapshot) -> Vec<usize> {
    let parts = see.wiring().parts.iter().enumerate();
    let strong = parts.filter(|(_, run)| {
        let kind = see.book().get(run.part).map(|p: &Part| &p.kind);
        matches!(kind, Some(PartKind::Source { ohm, .. }) if *ohm <= JOINT_OHM / 2.0)
    });
    strong.map(|(at, _)| at).collect()
}

/// What the supply loses on the way to loads and back.
pub(crate) struct Losses<'a> {
    see: &'a Snapshot,
    strong: Vec<usize>,
}

/// What the supply of a snapshot loses.
pub(crate) fn losses(see: &Snapshot) -> Losses<'_> {
    Losses {
        see,
        strong: strong_sources(see),
    }
}

impl Losses<'_> {
    /// Of a load by its place among the parts: on the way to it and on the way back, V, and from which source that is
    /// counted. None: a point floats, or nothing feeds it.
    pub(crate) fn of(&self, at: usize, of: &StateResult) -> Option<(f64, f64, usize)> {
        lost_v(self.see, at, &self.strong, of)
    }
}

/// What is lost on the way to a load and on the way back, V, counted from the source that stands least above it, its own or
/// another strong one: where several feed it, that one does. None: a point floats.
fn lost_v(see: &Snapshot, at: usize, strong: &[usize], of: &StateResult) -> Option<(f64, f64, usize)> {
    let parts = &see.wiring().parts;
    let behind = &see.protection().behind;
    let ends = &parts.get(at)?.ends;
    let fed = |end: &&Node| behind.get(**end as usize).copied().flatten().is_some();
    let near = *ends.iter().find(fed)?;
    let far = *ends.iter().find(|end| **end != near)?;
    let own = match fed_by(see, at)? {
        Step::Source(source) => source,
        Step::Fuse(fuse) => see.protection().zone(fuse)?.source,
        Step::Wire(wire) => see.protection().wires.get(wire)?.as_ref()?.source,
    };
    let sources = strong.iter().copied().chain([own]).filter_map(|source| {
        let [plus, minus, ..] = parts.get(source)?.ends[..] else {
            return None;
        };
        let there_v = of.operated.between(plus, near)?;
        let back_v = of.operated.between(far, minus)?;
        (there_v >= 0.0).then_some((there_v, back_v, source))
    });
    sources.min_by(|a, b| a.0.total_cmp(&b.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;

    fn rows(bench: &Bench) -> Vec<String> {
        let see = bench.snapshot();
        let tree = see.tree();
        let line = |row: &TreeRow| format!("{}{}", " ".repeat(row.depth), label(&see, row.twig));
        tree.rows.iter().map(line).collect()
    }

    #[test]
    fn each_thing_stands_beneath_what_feeds_it() {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        bench.fuse_way("F1", 10.0, "BP", "PB-A1");
        bench.wire("W1", "PB-A1", "SP1", 1.0, 2.0);
        bench.wire("W2", "SP1", "XA-A1", 0.5, 1.0);
        bench.wire("W3", "SP1", "XB-A1", 0.5, 1.0);
        let found = rows(&bench);
        let beneath: Vec<&str> = found.iter().skip(1).map(String::as_str).collect();
        assert_eq!(beneath, [" F1", "  W1", "   W2", "   W3"]);
    }
}
