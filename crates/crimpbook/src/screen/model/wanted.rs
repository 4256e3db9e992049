//! What the screen shown needs to know, and the wire it points at.

use crimpbook_workbook::model::{Id, Wire};

use super::{Model, face, over::Over, overview, parts, protection, rules, sources, states, suppose};
use crate::screen::{
    action::Where,
    ask::{Question, answer},
};

/// The question whose answer the screen shows.
pub fn wanted(model: &Model) -> Option<Question> {
    if let Some(Over::Suppose { wire, .. }) = model.over.last() {
        let questions = suppose::failings(model, *wire).into_iter().map(Question::Suppose);
        return questions.into_iter().find(|q| answer(model, *q).is_none());
    }
    if let (Some(Over::Hunt), Some(hunt)) = (model.over.last(), &model.hunt) {
        return hunt.questions().into_iter().find(|q| answer(model, *q).is_none());
    }
    if let (Some(Over::Trying { .. }), Some(_)) = (model.over.last(), &model.trying) {
        let both = [Question::ProofBefore, Question::Proof];
        return both.into_iter().find(|q| answer(model, *q).is_none());
    }
    if model.place == Where::States && model.states.shows == states::Shows::Rules {
        return Some(Question::Proof);
    }
    if model.place == Where::Overview {
        let finding = overview::finding_at(model).filter(|finding| finding.untried)?;
        return Some(Question::Mend(finding.check, finding.place()?));
    }
    if model.place == Where::States && model.states.shows == states::Shows::Table {
        let mut questions = states::near(model).map(|of| Question::Windows(of.state));
        return questions.find(|q| answer(model, *q).is_none());
    }
    if model.place != Where::Protection {
        return None;
    }
    match model.protection.shows {
        protection::Shows::FarEnds => Some(Question::FarEnds),
        _ => protection::fuse_here(model).map(Question::Picture),
    }
}

/// The wire that the cursor is on; at a cavity with several wires the first.
pub fn wire_here(model: &Model) -> Option<Id<Wire>> {
    match model.place {
        Where::States if model.states.shows == states::Shows::Rules => {
            face::wire_at(model, rules::place(model)?.as_id()?).map(|w| w.id)
        }
        Where::Face | Where::States => face::wire_at(model, face::cavity(model)?.id).map(|w| w.id),
        Where::Sources => face::wire_at(model, sources::cavity(model)?.id).map(|w| w.id),
        Where::Parts => parts::record(model)?.as_id(),
        Where::Protection => protection::wire_here(model),
        _ => None,
    }
}
