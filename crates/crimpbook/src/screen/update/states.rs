//! States.

use crimpbook_workbook::model::Key;

use super::{everywhere::move_cursor, face};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    model::{
        Model,
        face::cavity,
        rules::{line_of, lines, place},
        states::{Shows, at, rows},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    match act {
        Do::Rules => {
            model.states.shows = match model.states.shows {
                Shows::Table => Shows::Rules,
                Shows::Rules => Shows::Table,
            };
            return Some(Vec::new());
        }
        Do::Back if model.states.shows == Shows::Rules => {
            model.states.shows = Shows::Table;
            return Some(Vec::new());
        }
        _ if model.states.shows == Shows::Rules => return in_rules(model, act),
        _ => {}
    }
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

/// Shows what is said of a rule.
pub fn show_rule(model: &mut Model, key: Key) {
    model.states.shows = Shows::Rules;
    let line = key.as_id().and_then(|rule| line_of(model, rule));
    model.states.rule_at = line.unwrap_or(0);
}

/// Among the rules: over the lines, from rule to rule, to the place of a fault.
fn in_rules(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let lines = lines(model).unwrap_or_default();
    if move_cursor(&mut model.states.rule_at, lines.len(), act) {
        return Some(Vec::new());
    }
    let here = model.states.rule_at.min(lines.len().saturating_sub(1));
    let heading = |at: &usize| lines.get(*at).is_some_and(|line| line.heading);
    match act {
        Do::Left => model.states.rule_at = (0..here).rev().find(heading).unwrap_or(0),
        Do::Right => model.states.rule_at = (here + 1..lines.len()).find(heading).unwrap_or(here),
        Do::Open => match place(model) {
            Some(key) => {
                super::everywhere::go_to(model, Where::Face);
                face::show(model, key);
            }
            None => model.complain("this line has no place on a face; go to a line that names a fault"),
        },
        _ => return None,
    }
    Some(Vec::new())
}
