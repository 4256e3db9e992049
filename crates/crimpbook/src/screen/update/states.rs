//! States.

use crimpbook_workbook::model::{Key, Kind, Record};

use super::{everywhere::move_cursor, face, form, parts, sieve};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    form::Start,
    model::{
        Model,
        face::cavity,
        rules::{line_of, lines, place},
        sieve::List,
        states::{Shows, at, kind, record, rows},
        written,
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    match act {
        Do::Rules => toggle(model, Shows::Rules),
        Do::Written => toggle(model, Shows::Written),
        Do::Back if model.states.shows != Shows::Table => model.states.shows = Shows::Table,
        Do::Add => add(model),
        Do::Edit => edit(model),
        Do::Remove => {
            let key = record(model)?;
            parts::remove(model, key);
        }
        _ if model.states.shows == Shows::Rules => return in_rules(model, act),
        _ if model.states.shows == Shows::Written => return in_written(model, act),
        _ => return in_table(model, act),
    }
    Some(Vec::new())
}

fn toggle(model: &mut Model, shows: Shows) {
    let shown = model.states.shows == shows;
    model.states.shows = if shown { Shows::Table } else { shows };
}

fn add(model: &mut Model) {
    // A behaviour or part most likely is of the unit of the one at hand.
    let unit = record(model).and_then(|key| match model.book.tables().get(key)? {
        Record::Expression(row) => Some(row.unit),
        Record::Part(row) => Some(row.unit),
        _ => None,
    });
    let start = Start {
        unit: unit.map(|unit| model.book.label_of(unit)).unwrap_or_default(),
        ..Start::default()
    };
    if let Some(purpose) = written::purpose(kind(model), None) {
        form::open(model, purpose, &start);
    }
}

fn edit(model: &mut Model) {
    let purpose = record(model).and_then(|key| written::purpose(key.kind, Some(key)));
    if let Some(purpose) = purpose {
        form::open(model, purpose, &Start::default());
    }
}

/// Puts the cursor on a record; in the table on a state.
pub fn show(model: &mut Model, key: Key) {
    let states = model.findings.current().map(|see| see.states());
    let column = states.and_then(|all| all.iter().position(|of| Key::of(of.state) == key));
    match (model.states.shows, column) {
        (Shows::Table, Some(column)) => model.states.state = column,
        (Shows::Rules, _) if key.kind == Kind::Rule => show_rule(model, key),
        // The state is computed yet, or it is none.
        (Shows::Table, None) if key.kind == Kind::State => {}
        _ => {
            model.states.shows = Shows::Written;
            let place = |model: &Model| written::rows(model).iter().position(|row| row.key == Some(key));
            let row = place(model).or_else(|| sieve::lift(model, List::Written).then(|| place(model))?);
            model.states.written_at = row.unwrap_or(0);
        }
    }
}

/// In the list of what is written: over the lines, from kind to kind.
fn in_written(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let rows = written::rows(model);
    let (count, mut at) = (
        rows.len(),
        model.states.written_at.min(rows.len().saturating_sub(1)),
    );
    let heading = |at: &usize| rows.get(*at).is_some_and(|row| row.line.heading);
    match act {
        Do::Left => at = (0..at).rev().find(heading).unwrap_or(0),
        Do::Right => at = (at + 1..count).find(heading).unwrap_or(at),
        Do::Open => match record(model) {
            Some(_) => edit(model),
            None => add(model),
        },
        _ if move_cursor(&mut at, count, act) => {}
        _ => return None,
    }
    model.states.written_at = at;
    Some(Vec::new())
}

fn in_table(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
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
        Do::Open => match cavity(model).map(|cavity| cavity.id) {
            Some(id) => {
                super::everywhere::go_to(model, Where::Face);
                face::show(model, Key::of(id));
            }
            None => model.complain(
                "there is no cavity in the table yet: states are added here (a), connectors on Parts",
            ),
        },
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
