//! Answering for a step: done, failed, skipped; and taking that back.

use chrono::{DateTime, Utc};

use super::{StepOf, of_connector, of_junction, of_pair, of_shield, of_wire, pair_of, rests};
use crate::{
    Book,
    edit::{Change, Edit, Refusal},
    log::EntryKind,
    model::{Built, IdMaker, Key, Outcome, Step, StepDone},
};

/// What somebody says of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What came of it.
    pub outcome: Outcome,
    /// What was measured or seen.
    pub note: String,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
}

/// The edit that answers for steps, all in the same way; what they rest on is kept with each. A step that failed, was
/// skipped or fell back is answered for anew; one that is done already is left as it is.
///
/// # Errors
/// A thing that has no such step now; nothing left to answer for.
pub fn answer(book: &Book, ids: &mut IdMaker, steps: &[StepOf], answer: &Answer) -> Result<Edit, Refusal> {
    let mut changes = Vec::new();
    let mut answered = Vec::new();
    for step in steps {
        if !is_planned(book, *step) {
            return Err(Refusal::invalid(
                thing_name(book, step.of),
                Some(thing(step.of)),
                format!("has no step \"{}\" in the plan; look again", step.step.words()),
            ));
        }
        let before = find(book, *step);
        if before.is_some_and(|b| b.outcome == answer.outcome && b.redo.is_none() && b.note == answer.note) {
            continue;
        }
        let after = StepDone {
            id: before.map_or_else(|| ids.make(), |b| b.id),
            of: step.of,
            step: step.step,
            outcome: answer.outcome,
            at: answer.at,
            who: answer.who.clone(),
            note: answer.note.clone(),
            rested_on: rests(book, *step),
            redo: None,
        };
        changes.push(match before {
            None => Change::make(after),
            Some(before) => Change::replace(before.clone(), after),
        });
        answered.push(*step);
    }
    let Some(first) = answered.first() else {
        return Err(Refusal::NotValid {
            what: steps
                .first()
                .map_or_else(|| "the plan".to_owned(), |s| thing_name(book, s.of)),
            key: steps.first().map(|s| thing(s.of)),
            problem: "is answered for already; nothing is left to tick here".to_owned(),
        });
    };
    let word = match answer.outcome {
        Outcome::Done => "done",
        Outcome::Failed => "failed",
        Outcome::Skipped => "skipped",
    };
    // The steps of one thing by name; those of others are counted.
    let own: Vec<&str> = answered
        .iter()
        .filter(|step| step.of == first.of)
        .map(|step| step.step.words())
        .collect();
    let more = match answered.len() - own.len() {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let title = format!("{}: {}{more} {word}", book.built_name(first.of), own.join(", "));
    Ok(Edit::new(EntryKind::Progress, title, changes))
}

/// The edit that takes an answer back: the step is open again.
///
/// # Errors
/// Nobody has answered for it.
pub fn take_back(book: &Book, step: StepOf) -> Result<Edit, Refusal> {
    let Some(done) = find(book, step) else {
        return Err(Refusal::invalid(
            thing_name(book, step.of),
            Some(thing(step.of)),
            format!(
                "\"{}\" is not answered for; there is nothing to take back",
                step.step.words()
            ),
        ));
    };
    let title = format!("{}: {} taken back", book.built_name(step.of), step.step.words());
    Ok(Edit::new(
        EntryKind::Progress,
        title,
        vec![Change::remove(done.clone())],
    ))
}

/// The record of a step, if somebody answered for it.
pub fn find(book: &Book, step: StepOf) -> Option<&StepDone> {
    let same = |done: &&StepDone| done.of == step.of && done.step == step.step;
    answers(book, thing(step.of)).into_iter().find(same)
}

/// All that was said of the steps of a thing.
pub(super) fn answers(book: &Book, thing: Key) -> Vec<&StepDone> {
    let users = book.index().users_of(thing).iter();
    users
        .filter_map(|user| book.get(user.as_id::<StepDone>()?))
        .collect()
}

fn is_planned(book: &Book, step: StepOf) -> bool {
    let steps = match step.of {
        Built::Wire(wire) => match step.step {
            Step::Twist => of_pair(&pair_of(book, wire)),
            Step::JacketBack | Step::Drain | Step::ShieldEnd => of_shield(book, wire),
            _ => of_wire(book, wire),
        },
        Built::End { wire, .. } => of_wire(book, wire),
        Built::Connector(id) => of_connector(book, id),
        Built::Junction(id) => of_junction(book, id),
    };
    steps.contains(&step)
}

pub(super) fn thing(of: Built) -> Key {
    match of {
        Built::Wire(wire) | Built::End { wire, .. } => Key::of(wire),
        Built::Connector(id) => Key::of(id),
        Built::Junction(id) => Key::of(id),
    }
}

fn thing_name(book: &Book, of: Built) -> String {
    book.name_of(thing(of))
}
