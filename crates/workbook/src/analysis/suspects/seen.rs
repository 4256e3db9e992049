//! What a solution shows: volts where leads can be put, what is seen, what units read.

use std::collections::HashSet;

use crimpbook_core::network::{Condition, Potential, Solution};

use super::{
    job::Job,
    look::{How, Look, Volt},
    plant::Plant,
    solve::Base,
    watch::{self, Watch, Watched},
    ways::Act,
};
use crate::{
    analysis::{
        protect::FuseAt,
        suppose::{Failing, Reads, SHORT_OHM, STILL, WORKS_A},
    },
    circuit::{Node, Stand, Standing},
    model::{Fuse, Id, PartKind, PartPosition},
};

/// A voltage that moves by less is not kept, V.
const KEPT_V: f32 = 0.003;
/// A touch that carries more than this for good burns wires, A (our own).
const BURNS_A: f64 = 10.0;

impl Plant<'_> {
    pub(super) fn levels(&self, solution: &Solution, standing: &Standing) -> Vec<Reads> {
        let volts = |nodes: [Node; 2]| {
            let [at, ground] = nodes.map(|n| standing.node(n));
            solution.between(at?, ground?)
        };
        self.behaviour
            .levels
            .iter()
            .map(|level| level.reads(volts(level.nodes)))
            .collect()
    }

    pub(super) fn current_a(&self, solution: &Solution, standing: &Standing, watched: &Watched) -> f64 {
        let Watch::Part(at) = watched.watch else {
            return 0.0;
        };
        let element = standing.parts.get(at).and_then(|l| l.main);
        element.map_or(0.0, |e| solution.current_a(e))
    }

    /// Whether a part is on, as far as that is seen in the solution.
    pub(super) fn part_on(
        &self,
        solution: &Solution,
        standing: &Standing,
        holding: &HashSet<usize>,
        at: usize,
    ) -> Option<bool> {
        let part = self.part(at)?;
        let element = standing.parts.get(at).and_then(|l| l.main);
        match &part.kind {
            PartKind::Coil { .. } if watch::moves_with(&self.stands, part) => {
                Some(match element.map(|e| solution.condition(e))? {
                    Condition::PulledIn => true,
                    Condition::DroppedOut | Condition::Open | Condition::Starved => false,
                    _ => holding.contains(&at),
                })
            }
            PartKind::Coil { .. } => match self.of.stands.get(part.id) {
                Stand::Given(position) => Some(position != PartPosition::Off),
                _ => None,
            },
            PartKind::Contact { driver, .. } => match (self.stands.get(part.id), driver) {
                (Stand::Given(position), _) => Some(position != PartPosition::Off),
                (Stand::Follows(coil), _) => {
                    self.part_on(solution, standing, holding, *self.place_of.get(&coil)?)
                }
                _ => None,
            },
            PartKind::Output { .. } | PartKind::Source { .. } => self.is_driven(at),
            _ => {
                let starved = |e| matches!(solution.condition(e), Condition::Starved | Condition::Collapsed);
                Some(element.is_some_and(|e| !starved(e) && solution.current_a(e).abs() > WORKS_A))
            }
        }
    }

    pub(super) fn seen(
        &self,
        solution: &Solution,
        standing: &Standing,
        holding: &HashSet<usize>,
        levels: &[Reads],
        open: &[Id<Fuse>],
    ) -> Vec<Option<bool>> {
        let stood = |at: usize| self.part_on(solution, standing, holding, at);
        let mut does = self.behaviour.does.iter();
        let watched = self.watched.iter().zip(&self.usual_a);
        watched
            .map(|(watched, usual_a)| match watched.watch {
                Watch::Does(_) => does
                    .next()
                    .and_then(|(_, term)| term.as_ref()?.holds(levels, &stood)),
                Watch::Fuse(id) => Some(open.contains(&id)),
                Watch::Part(at) => {
                    let on = stood(at)?;
                    let coil = self.part(at).is_some_and(|p| watch::moves_with(&self.stands, p));
                    let now_a = self.current_a(solution, standing, watched).abs();
                    Some(on && (coil || now_a > STILL * usual_a.abs()))
                }
            })
            .collect()
    }

    pub(super) fn look(
        &self,
        base: &Base<'_>,
        job: &Job,
        solution: &Solution,
        fuses: &[Id<Fuse>],
    ) -> (Look, Vec<Reads>) {
        let standing = base.standing;
        let mut open = fuses.to_vec();
        for act in &job.acts {
            let at = match *act {
                Act::OpenPart(at) => FuseAt::Part(at),
                Act::OpenWire(at) => FuseAt::Wire(at),
                _ => continue,
            };
            // A wire that is off takes no fuse in line with it for blown.
            let fuse = self
                .gates
                .iter()
                .find(|(gate, ..)| *gate == at)
                .map(|(_, id, _)| *id);
            let blown = matches!(self.failing(job), Some(Failing::Fuse(_)));
            open.extend(fuse.filter(|_| blown));
        }
        let levels = self.levels(solution, standing);
        let seen = self.seen(solution, standing, &base.holding, &levels, &open);
        let seen = (0..).zip(seen.into_iter().zip(&self.watched));
        let elsewhere = solution.elsewhere(&base.places, &self.usual_v, KEPT_V);
        let moved = elsewhere.filter_map(|at| {
            let now = volt(solution, standing, self.places.get(at)?.nodes);
            (Some(&now) != self.usual.get(at)).then_some((at as u32, now))
        });
        let moved: Vec<(u32, Volt)> = moved.collect();
        let burns = job.how != How::AtFirst && job.acts.iter().any(|act| burns(solution, standing, *act));
        let look = Look {
            how: job.how,
            weight: job.weight,
            touches: job.acts.iter().any(|act| matches!(act, Act::Short(..))),
            burns,
            ruins: self.ruins(solution, standing, burns, &moved),
            open,
            moved,
            seen: seen
                .filter(|(_, (now, watched))| *now != watched.usual)
                .map(|(at, (now, _))| (at, now))
                .collect(),
        };
        (look, levels)
    }

    pub(super) fn failing(&self, job: &Job) -> Option<Failing> {
        self.all.get(job.fault).copied()
    }
}

pub(super) fn volt(solution: &Solution, standing: &Standing, nodes: [Node; 2]) -> Volt {
    let [Some(at), Some(ground)] = nodes.map(|n| standing.node(n)) else {
        return Volt::Floats;
    };
    if let Some(v) = solution.between(at, ground) {
        return Volt::At(v as f32);
    }
    let range = |node| match solution.voltage(node) {
        Potential::At(v) => Some((v, v)),
        Potential::Unsteady { least_v, most_v } => Some((least_v, most_v)),
        Potential::Floating => None,
    };
    match (range(at), range(ground)) {
        (Some(one), Some(other)) => Volt::Between((one.0 - other.1) as f32, (one.1 - other.0) as f32),
        _ => Volt::Floats,
    }
}

/// Whether a touch carries so much that no control wire bears it for long.
fn burns(solution: &Solution, standing: &Standing, act: Act) -> bool {
    let Act::Short(one, other) = act else { return false };
    let (Some(a), Some(b)) = (standing.node(one), standing.node(other)) else {
        return false;
    };
    solution
        .between(a, b)
        .is_some_and(|v| v.abs() > BURNS_A * SHORT_OHM)
}
