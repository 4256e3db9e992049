//! States.

use crimpbook_workbook::model::Key;

use super::{everywhere::move_cursor, face};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    model::{
        Model,
        face::cavity,
        states::{at, rows},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let all = rows(model).unwrap_or_default();
    let (mut place, ids) = (at(model, &all), all.iter().map(|c| c.id).collect::<Vec<_>>());
    if move_cursor(&mut place, ids.len(), act) {
        model.face.cavity = ids.get(place).copied().or(model.face.cavity);
        return Some(Vec::new());
    }
    let states = model.findings.current().map_or(0, |see| see.states().len());
    match act {
        Do::Left => model.states.state = model.states.state.min(states.saturating_sub(1)).saturating_sub(1),
        Do::Right => model.states.state = (model.states.state + 1).min(states.saturating_sub(1)),
        Do::NextConnector | Do::PreviousConnector => return face::perform(model, act),
        Do::Open => {
            let id = cavity(model)?.id;
            super::everywhere::go_to(model, Where::Face);
            face::show(model, Key::of(id));
        }
        _ => return None,
    }
    Some(Vec::new())
}
