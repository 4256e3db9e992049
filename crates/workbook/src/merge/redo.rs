//! Build steps that one copy ticked and the other's changes send back.

use super::choice::Desk;
use crate::{
    Book,
    model::{Id, StepDone, Tables},
    plan::{StepOf, changed_facts, differs_from},
};

/// Lets fall back what was ticked on a plan that the merge changed.
pub(super) fn fall_back(desk: &Desk<'_>, merged: &mut Tables) {
    let book = Book::from_tables(merged.clone(), None);
    let sides = [desk.ours.book, desk.theirs.book];
    let lapses: Vec<(Id<StepDone>, String)> = book
        .all::<StepDone>()
        .values()
        .filter_map(|step| Some((step.id, lapse(&book, step, sides)?)))
        .collect();
    for (id, redo) in lapses {
        if let Some(step) = merged.steps_done.get_mut(&id) {
            step.redo = Some(redo);
        }
    }
}

/// Why a step has to be redone now, if what it rested on is not as the copy that ticked it has it.
fn lapse(book: &Book, step: &StepDone, sides: [&Book; 2]) -> Option<String> {
    let of = StepOf {
        of: step.of,
        step: step.step,
    };
    let ticked_there = |side: &&Book| {
        side.get(step.id)
            .is_some_and(|s| s.at == step.at && s.outcome == step.outcome)
    };
    // One copy says already why, and nothing it rests on is otherwise than that copy has it.
    let said = |side: &Book| {
        step.redo.is_some() && side.get(step.id) == Some(step) && changed_facts(side, book, of).is_empty()
    };
    if sides.into_iter().any(said) {
        return None;
    }
    let mut reasons: Vec<String> = sides
        .into_iter()
        .filter(ticked_there)
        .flat_map(|side| changed_facts(side, book, of))
        .collect();
    if reasons.is_empty() {
        return None;
    }
    reasons.sort();
    reasons.dedup();
    let since_ticked = differs_from(book, of, &step.rested_on);
    let told = if since_ticked.is_empty() {
        reasons
    } else {
        since_ticked
    };
    Some(told.join("; "))
}
