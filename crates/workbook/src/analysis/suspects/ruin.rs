//! What a fault ruins: a wire that carries too much for good, an input beyond what its manual allows. What is seen
//! afterwards is not what the computing says of the moment.

use crimpbook_core::{
    heat::{Limits, WireHeat},
    network::{ElementId, Solution},
};

use super::{
    Signature, Signatures,
    job::Job,
    look::{How, Look, Volt},
    plant::Plant,
    solve::Base,
};
use crate::{
    analysis::{Snapshot, protect::core_fuse, suppose::fixed},
    book::natural,
    circuit::Standing,
    model::{Cavity, Id},
};

/// What is ruined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ruin {
    /// A wire, by its place in the circuit, carries so much for good, A.
    Wire(usize, f32),
    /// A cavity is brought to so much, V, and its manual allows so much.
    Input(Id<Cavity>, f32, f32),
}

/// How a look with a wire burnt through counts beside what it was before (our own).
const BURNT: f64 = 0.3;
/// An input is taken to bear its limit and so much more, V (our own).
const BEARS_V: f64 = 0.5;

impl Plant<'_> {
    /// The wire that is worst off, else the input furthest above its limit.
    pub(super) fn ruins(
        &self,
        solution: &Solution,
        standing: &Standing,
        burns: bool,
        moved: &[(u32, Volt)],
    ) -> Option<Ruin> {
        let wire = burns.then(|| self.burning(solution, standing)).flatten();
        wire.or_else(|| {
            let over = moved.iter().filter_map(|(at, volt)| {
                let place = self.places.get(*at as usize)?;
                let (Volt::At(volts), Some(most_v)) = (*volt, place.most_v) else {
                    return None;
                };
                let over_v = f64::from(volts) - most_v;
                (over_v > BEARS_V).then_some((over_v, Ruin::Input(place.at, volts, most_v as f32)))
            });
            over.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, ruin)| ruin)
        })
    }

    /// The wire furthest above what its insulation bears even for hours, of those that carry more than without the fault.
    fn burning(&self, solution: &Solution, standing: &Standing) -> Option<Ruin> {
        let wires = self.see.warmth().wires.iter().zip(&standing.wires).enumerate();
        let hot = wires.filter_map(|(at, (warmth, element))| {
            let current_a = solution.current_a(*element).abs();
            let factor = self.of.temperatures.factor.get(at).copied().unwrap_or(1.0);
            if current_a < factor * warmth.allowed_alone_a
                || current_a < 1.1 * self.of.operated.wire_a(at).abs()
            {
                return None;
            }
            let limits = Limits::of(&warmth.alone.as_ref()?.heat.insulation);
            let over = warmth.conductor_c(current_a, factor) - limits.overload_c;
            // What has no balance at all runs away: the current tells which is the first.
            let over = if over.is_finite() { over } else { f64::MAX };
            let share = current_a / (factor * warmth.allowed_alone_a);
            (over > 0.0).then_some((share, Ruin::Wire(at, current_a as f32)))
        });
        hot.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, ruin)| ruin)
    }
}

impl Plant<'_> {
    /// Wires that cannot be weighed, by label.
    pub(super) fn unweighed(&self) -> Vec<String> {
        let wires = self.see.wiring().wires.iter().zip(&self.see.warmth().wires);
        let without = wires.filter(|(_, warmth)| warmth.alone.is_none());
        let mut all: Vec<String> = without
            .map(|(run, _)| self.see.book().label_of(run.wire))
            .collect();
        all.sort_by_cached_key(|label| natural(label));
        all
    }

    /// The wire that is hurt before the fuses have opened, if they take the longest they may.
    pub(super) fn hurt_meanwhile(
        &self,
        base: &Base<'_>,
        first: &Solution,
        opened: &[(ElementId, f64)],
    ) -> Option<Ruin> {
        let ruin = self.burning(first, base.standing)?;
        let Ruin::Wire(at, current_a) = ruin else {
            return None;
        };
        let mut fuses_s = 0.0;
        for (element, through_a) in opened {
            let (_, id) = base.gates.iter().find(|(gate, _)| gate.fuse == *element)?;
            let zone = self.see.protection().zone(*id)?;
            fuses_s += core_fuse(self.see, zone, self.see.book().get(*id)?)?.longest_s(*through_a);
        }
        let alone = self.see.warmth().wires.get(at)?.alone.as_ref()?;
        let heat = WireHeat {
            bundle_factor: self.of.temperatures.factor.get(at).copied().unwrap_or(1.0),
            ..alone.heat
        };
        let from = heat.running_state(self.of.operated.wire_a(at).abs())?;
        let bears = heat.bears(f64::from(current_a), from, &Limits::of(&alone.heat.insulation));
        (bears.time_s < fuses_s).then_some(ruin)
    }
}

/// A fault as it happened that has a wire burn: the same with that wire open.
pub(super) fn burnt_through(job: &Job, look: &Look) -> Option<Job> {
    let as_it_happened =
        job.how == How::Lasting && job.turned.is_empty() && job.dead.is_empty() && !job.guessed;
    let Some(Ruin::Wire(at, _)) = look.ruins.filter(|_| as_it_happened) else {
        return None;
    };
    let mut burnt = job.clone();
    burnt.acts.push(super::ways::Act::OpenWire(at));
    Some(Job {
        how: How::Burnt,
        weight: job.weight * BURNT,
        rounds: job.rounds + 1,
        first_told: true,
        ..burnt
    })
}

impl Signature {
    /// What it ruins, if anything.
    pub fn ruins(&self) -> Option<Ruin> {
        self.looks.iter().find_map(|look| look.ruins)
    }
}

impl Ruin {
    /// In words (`burns W70, 63 A`).
    pub fn words(&self, see: &Snapshot) -> String {
        match *self {
            Self::Wire(at, current_a) => {
                let wire = see
                    .wiring()
                    .wires
                    .get(at)
                    .map(|run| see.book().label_of(run.wire));
                format!(
                    "burns {}, {} A",
                    wire.unwrap_or_default(),
                    fixed(f64::from(current_a), 0)
                )
            }
            Self::Input(cavity, volts, most_v) => {
                let [volts, most_v] = [volts, most_v].map(|v| fixed(f64::from(v), 1));
                format!(
                    "brings {} to {volts} V, at most {most_v} V",
                    see.book().cavity_name(cavity)
                )
            }
        }
    }
}

impl Signatures {
    /// Faults that are not ruled out since they ruin something, each with what (`W70 touches supply (burns W70, 63 A)`).
    pub fn ruining_words(&self, see: &Snapshot, faults: &[usize]) -> Vec<String> {
        let words = faults.iter().filter_map(|at| {
            let signature = self.faults.get(*at)?;
            Some(format!(
                "{} ({})",
                signature.failing.words(see),
                signature.ruins()?.words(see)
            ))
        });
        words.collect()
    }
}

/// Wires named of those that cannot be weighed.
const MOST_UNWEIGHED: usize = 6;

impl Signatures {
    /// What is to be said of [`Signatures::unweighed`]; none: every wire could be weighed.
    pub fn unweighed_words(&self) -> Option<String> {
        let named = self.unweighed.get(..MOST_UNWEIGHED).unwrap_or(&self.unweighed);
        if named.is_empty() {
            return None;
        }
        let more = match self.unweighed.len() - named.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        Some(format!(
            "cannot tell whether they would burn, missing size or class of insulation: {}{more}",
            named.join(", ")
        ))
    }
}

/// To be said of [`super::Found::ruining`].
pub const RUINING_WORDS: &str = "not ruled out, though the moment looks otherwise: each ruins something, and what is seen \
                                 after that nobody can compute; look and smell there";
