//! Build steps of a wire as a beat ticks them.

use chrono::{DateTime, Utc};
use crimpbook_workbook::{
    Book,
    edit::Change,
    model::{Built, Connector, End, IdMaker, JunctionKind, Step, StepDone, Wire, WireEnd},
};

use super::{Tick, TickSteps};

/// The changes of one wire's ticks, each in place of an answer that was given before.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn changes(
    book: &Book,
    ids: &mut IdMaker,
    tick: &Tick,
    label: &str,
    (at, who): (DateTime<Utc>, &str),
) -> Result<Vec<Change>, String> {
    let wire = book
        .index()
        .labelled::<Wire>(label)
        .and_then(|id| book.get(id))
        .ok_or_else(|| format!("there is no wire {label}"))?;
    let wanted = steps_of(book, wire)
        .into_iter()
        .filter(|(of, step)| match &tick.steps {
            TickSteps::All => true,
            TickSteps::These(steps) => steps.contains(step),
        } && tick.end.is_none_or(|end| *of == Built::End { wire: wire.id, end }));
    let mut changes = Vec::new();
    for (of, step) in wanted {
        let before = book
            .all::<StepDone>()
            .values()
            .find(|done| done.of == of && done.step == step)
            .cloned();
        if tick.steps == TickSteps::All && before.is_some() {
            continue;
        }
        let after = StepDone {
            id: before.as_ref().map_or_else(|| ids.make(), |done| done.id),
            of,
            step,
            outcome: tick.outcome,
            at,
            who: who.to_owned(),
            note: tick.note.clone(),
            rested_on: Vec::new(),
            redo: None,
        };
        changes.push(match before {
            None => Change::make(after),
            Some(before) => Change::replace(before, after),
        });
    }
    if changes.is_empty() {
        return Err(format!("{label} has no such step left"));
    }
    Ok(changes)
}

/// The steps of a wire in working order.
pub(super) fn steps_of(book: &Book, wire: &Wire) -> Vec<(Built, Step)> {
    let whole = |step| (Built::Wire(wire.id), step);
    let mut steps = vec![whole(Step::Cut), whole(Step::Label)];
    for (end, which) in [(wire.from, WireEnd::From), (wire.to, WireEnd::To)] {
        let of = Built::End {
            wire: wire.id,
            end: which,
        };
        steps.extend(at_end(book, end).iter().map(|step| (of, *step)));
    }
    steps.extend([whole(Step::Continuity), whole(Step::NotShorted)]);
    steps
}

fn at_end(book: &Book, end: End) -> &'static [Step] {
    match end {
        End::Cavity(id) => {
            let connector = book.get(id).and_then(|c| book.get::<Connector>(c.connector));
            if connector.and_then(|c| c.sealed) == Some(true) {
                &[Step::Seal, Step::Strip, Step::Crimp, Step::Insert]
            } else {
                &[Step::Strip, Step::Crimp, Step::Insert]
            }
        }
        End::Junction(id) => match book.get(id).map(|j| j.kind) {
            Some(JunctionKind::Splice) | None => &[Step::Strip],
            Some(JunctionKind::Stud | JunctionKind::GroundStud) => &[Step::Strip, Step::Crimp, Step::Bolt],
        },
        End::Free => &[],
    }
}
