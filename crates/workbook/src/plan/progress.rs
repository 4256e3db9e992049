//! How far things are.

use super::tick::{answers, thing};
use super::{StepOf, of_connector, of_junction, of_pair, of_shield, of_wire, pairs};
use crate::{
    Book,
    model::{Built, Connector, Id, Junction, Key, Outcome, StepDone, Wire},
};

/// How a step stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Nobody has answered for it.
    Open,
    /// Done and accepted.
    Done,
    /// Tried and not accepted.
    Failed,
    /// Left out on purpose.
    Skipped,
    /// A change of the plan sent it back.
    Redo,
}

impl Standing {
    /// In a word or two.
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Done => "done",
            Self::Failed => "failed",
            Self::Skipped => "skipped",
            Self::Redo => "to be redone",
        }
    }

    /// Whether there is still something to do.
    pub fn is_open(self) -> bool {
        matches!(self, Self::Open | Self::Failed | Self::Redo)
    }
}

/// A step and how it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Task<'a> {
    /// The step.
    pub step: StepOf,
    /// How it stands.
    pub standing: Standing,
    /// What was said of it.
    pub answer: Option<&'a StepDone>,
}

/// A step with its state.
pub fn task(book: &Book, step: StepOf) -> Task<'_> {
    task_among(&answers(book, thing(step.of)), step)
}

/// Steps with their states; what was said of a thing is looked up once for all its steps that follow each other.
pub fn tasks<'a>(book: &'a Book, steps: impl IntoIterator<Item = StepOf>) -> impl Iterator<Item = Task<'a>> {
    let mut known: Option<(Key, Vec<&'a StepDone>)> = None;
    steps.into_iter().map(move |step| {
        let key = thing(step.of);
        if known.as_ref().is_none_or(|(of, _)| *of != key) {
            known = Some((key, answers(book, key)));
        }
        task_among(known.as_ref().map_or(&[], |(_, answers)| answers), step)
    })
}

fn task_among<'a>(answers: &[&'a StepDone], step: StepOf) -> Task<'a> {
    let answer = answers
        .iter()
        .copied()
        .find(|done| done.of == step.of && done.step == step.step);
    let standing = match answer {
        None => Standing::Open,
        Some(done) if done.redo.is_some() => Standing::Redo,
        Some(done) => match done.outcome {
            Outcome::Done => Standing::Done,
            Outcome::Failed => Standing::Failed,
            Outcome::Skipped => Standing::Skipped,
        },
    };
    Task {
        step,
        standing,
        answer,
    }
}

/// Steps counted by how they stand.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Progress {
    /// All of them.
    pub total: usize,
    /// Done or skipped on purpose.
    pub done: usize,
    /// Of those, skipped.
    pub skipped: usize,
    /// Tried and not accepted.
    pub failed: usize,
    /// Sent back by a change of the plan.
    pub redo: usize,
}

impl Progress {
    /// Of these steps.
    pub fn of(book: &Book, steps: impl IntoIterator<Item = StepOf>) -> Self {
        let mut sum = Self::default();
        for task in tasks(book, steps) {
            sum.total += 1;
            match task.standing {
                Standing::Open => {}
                Standing::Done => sum.done += 1,
                Standing::Failed => sum.failed += 1,
                Standing::Skipped => {
                    sum.done += 1;
                    sum.skipped += 1;
                }
                Standing::Redo => sum.redo += 1,
            }
        }
        sum
    }

    /// Of a wire.
    pub fn of_wire(book: &Book, wire: Id<Wire>) -> Self {
        Self::of(book, of_wire(book, wire))
    }

    /// Of a connector: the steps at its ends of wires, and its own.
    pub fn of_connector(book: &Book, connector: Id<Connector>) -> Self {
        let mut steps = Vec::new();
        for cavity in book.index().cavities_of.of(&connector) {
            for (wire, end) in book.index().wires_at_cavity.of(cavity) {
                let here = Built::End {
                    wire: *wire,
                    end: *end,
                };
                steps.extend(of_wire(book, *wire).into_iter().filter(|s| s.of == here));
            }
        }
        steps.extend(of_connector(book, connector));
        Self::of(book, steps)
    }

    /// Of everything.
    pub fn of_all(book: &Book) -> Self {
        Self::of(book, all_steps(book))
    }

    /// Whether nothing is left.
    pub fn is_complete(&self) -> bool {
        self.done == self.total
    }
}

/// Every step of the plan: wires, pairs and shields, then junctions, then connectors.
pub fn all_steps(book: &Book) -> Vec<StepOf> {
    let wires = book.all::<Wire>().keys().flat_map(|id| of_wire(book, *id));
    let junctions = book
        .all::<Junction>()
        .keys()
        .flat_map(|id| of_junction(book, *id));
    let connectors = book
        .all::<Connector>()
        .keys()
        .flat_map(|id| of_connector(book, *id));
    let pairs = pairs(book).into_iter().flat_map(|pair| of_pair(&pair));
    let shields = book.all::<Wire>().keys().flat_map(|id| of_shield(book, *id));
    wires
        .chain(pairs)
        .chain(shields)
        .chain(junctions)
        .chain(connectors)
        .collect()
}
