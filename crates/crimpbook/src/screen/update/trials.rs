//! Trials.

use crimpbook_workbook::{
    edit::make,
    model::{FirstRunStep, Key},
    tune::open_steps,
};

use super::{everywhere::move_cursor, form, parts, sieve};
use crate::screen::{
    action::Do,
    effect::{Effect, Then},
    form::{Purpose, Start},
    model::{
        Model,
        sieve::List,
        trials::{Shows, rows, settings, step, traits, trial},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let count = rows(model).len();
    let moved = match model.trials.shows {
        Shows::List => move_cursor(&mut model.trials.at, count, act),
        Shows::Detail => move_cursor(&mut model.trials.from, usize::MAX, act),
        Shows::FirstRun => move_cursor(&mut model.trials.step, FirstRunStep::ALL.len(), act),
        Shows::Plot => {
            let settings = settings(model).len();
            move_cursor(&mut model.trials.setting, settings, act)
        }
    };
    if moved {
        return Some(Vec::new());
    }
    let here = trial(model).map(|t| t.id);
    match act {
        Do::Back if model.trials.shows != Shows::List => model.trials.shows = Shows::List,
        Do::Plot => toggle(model, Shows::Plot),
        Do::TrialDetail => {
            model.trials.from = 0;
            toggle(model, Shows::Detail);
        }
        Do::FirstRun => {
            toggle(model, Shows::FirstRun);
            to_next_step(model);
        }
        Do::GoneThrough => return Some(go_through(model)),
        Do::AddTrial => form::open(model, Purpose::Trial(None), &Start::default()),
        Do::EditTrial => form::open(model, Purpose::Trial(Some(here?)), &Start::default()),
        Do::RemoveTrial => parts::remove(model, Key::of(here?)),
        Do::Left | Do::Right if model.trials.shows == Shows::Plot => {
            let all = traits(model).len().max(1);
            let by = if act == Do::Right { 1 } else { all - 1 };
            model.trials.feel = (model.trials.feel + by) % all;
        }
        Do::Left | Do::Right if model.trials.shows == Shows::Detail => {
            model.trials.from = 0;
            let by = if act == Do::Right { Do::Down } else { Do::Up };
            move_cursor(&mut model.trials.at, count, by);
        }
        _ => return None,
    }
    Some(Vec::new())
}

fn toggle(model: &mut Model, shows: Shows) {
    model.trials.shows = if model.trials.shows == shows {
        Shows::List
    } else {
        shows
    };
}

/// The cursor to the first step that is open.
fn to_next_step(model: &mut Model) {
    let open = open_steps(&model.book);
    if let Some(at) = open
        .first()
        .and_then(|next| FirstRunStep::ALL.iter().position(|s| s == next))
    {
        model.trials.step = at;
    }
}

/// The step under the cursor was gone through.
fn go_through(model: &mut Model) -> Vec<Effect> {
    let Some(step) = step(model) else {
        return Vec::new();
    };
    let next = open_steps(&model.book).first().copied();
    if let Some(next) = next.filter(|next| *next < step) {
        let n = FirstRunStep::ALL.iter().take_while(|s| **s != next).count() + 1;
        model.complain(format!("step {n} comes before this one: {}", next.words()));
        return Vec::new();
    }
    let (who, now) = (model.who.clone(), model.now);
    let book = std::sync::Arc::clone(&model.book);
    match make::go_through(&book, &mut model.ids, step, (&who, now), "") {
        Ok(edit) => {
            let then = Then {
                advance: true,
                ..Then::default()
            };
            vec![Effect::Commit(Box::new(edit), then)]
        }
        Err(refusal) => {
            model.complain(refusal.to_string());
            Vec::new()
        }
    }
}

/// An edit was kept: the cursor goes on to the next step.
pub fn kept(model: &mut Model, then: Then) {
    if model.trials.shows == Shows::FirstRun && then.advance {
        let next = (model.trials.step + 1).min(FirstRunStep::ALL.len() - 1);
        model.trials.step = next;
        if open_steps(&model.book).is_empty() {
            model.say("the first run is gone through; drives can be logged. Start with low limits, one setting at a time");
        }
    }
}

/// Puts the cursor on a trial.
pub fn show(model: &mut Model, key: Key) {
    model.trials.shows = Shows::List;
    let place = |model: &Model| rows(model).iter().position(|id| Key::of(*id) == key);
    let at = place(model).or_else(|| sieve::lift(model, List::Trials).then(|| place(model))?);
    model.trials.at = at.unwrap_or(model.trials.at);
}
