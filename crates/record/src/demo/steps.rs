//! Build steps as a beat ticks them.

use chrono::{DateTime, Utc};
use crimpbook_workbook::{
    Book,
    edit::Change,
    model::{Built, Connector, IdMaker, Junction, Wire},
    plan::{self, Answer, StepOf},
};

use super::{Tick, TickSteps};

/// The changes of one thing's ticks, each in place of an answer that was given before.
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
    let at_end = |of: Built| match (tick.end, of) {
        (None, _) => true,
        (Some(end), Built::End { end: here, .. }) => end == here,
        (Some(_), _) => false,
    };
    let wanted: Vec<StepOf> = steps_of(book, label)?
        .into_iter()
        .filter(|step| at_end(step.of))
        .filter(|step| match &tick.steps {
            TickSteps::All => plan::task(book, *step).standing.is_open(),
            TickSteps::These(steps) => steps.contains(&step.step),
        })
        .collect();
    if wanted.is_empty() {
        return Err(format!("{label} has no such step left"));
    }
    let answer = Answer {
        outcome: tick.outcome,
        note: tick.note.clone(),
        at,
        who: who.to_owned(),
    };
    plan::answer(book, ids, &wanted, &answer)
        .map(|edit| edit.changes)
        .map_err(|refusal| refusal.to_string())
}

fn steps_of(book: &Book, label: &str) -> Result<Vec<StepOf>, String> {
    let index = book.index();
    let wire = || {
        let id = index.labelled::<Wire>(label)?;
        let mut steps = plan::of_wire(book, id);
        let twist = plan::of_pair(&plan::pair_of(book, id));
        steps.extend(twist.into_iter().filter(|s| s.of == Built::Wire(id)));
        steps.extend(plan::of_shield(book, id));
        Some(steps)
    };
    let connector = || {
        let id = index.labelled::<Connector>(label)?;
        Some(plan::of_connector(book, id))
    };
    let junction = || {
        let id = index.labelled::<Junction>(label)?;
        Some(plan::of_junction(book, id))
    };
    wire()
        .or_else(connector)
        .or_else(junction)
        .ok_or_else(|| format!("there is no wire, connector, splice or stud {label}"))
}
