//! Sources.

use crimpbook_workbook::{
    edit::{
        Edit, Refusal,
        make::{self, WireDraft},
    },
    model::{Candidate, Cavity, Id, Key},
};

use super::{everywhere::move_cursor, form, sieve};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    form::{self as forms, Start},
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        sieve::List,
        sources::{candidate, candidates, cavity, rows},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    if let Some(mut at) = model.sources.candidate {
        let count = cavity(model).map_or(0, |c| candidates(model, c.id).len());
        if move_cursor(&mut at, count, act) {
            model.sources.candidate = Some(at);
            return Some(Vec::new());
        }
        if matches!(act, Do::Left | Do::Back) {
            model.sources.candidate = None;
            return Some(Vec::new());
        }
    }
    let count = rows(model).len();
    if move_cursor(&mut model.sources.at, count, act) {
        return Some(Vec::new());
    }
    match act {
        Do::Right | Do::Open => enter_card(model),
        Do::OnlyOpen => {
            set_only_open(model, !model.sources.only_open);
            model.sources.at = 0;
            model.sources.candidate = None;
        }
        Do::Weigh => {
            let id = cavity(model)?.id;
            form::open(model, forms::Purpose::Candidate(id), &Start::default());
        }
        Do::Choose => judge(model, true),
        Do::Refuse => judge(model, false),
        Do::EditCavity => {
            let id = cavity(model)?.id;
            form::open(model, forms::Purpose::Cavity(id), &Start::default());
        }
        Do::ShowOnFace => {
            let id = cavity(model)?.id;
            super::everywhere::go_to(model, Where::Face);
            super::face::show(model, Key::of(id));
        }
        _ => return None,
    }
    Some(Vec::new())
}

/// Puts the cursor on a cavity's row, if it has one.
pub fn show(model: &mut Model, key: Key) {
    let Some(id) = key.as_id::<Cavity>() else { return };
    set_only_open(model, false);
    model.sources.candidate = None;
    let place = |model: &Model| rows(model).iter().position(|row| row.row.cavity() == id);
    if let Some(at) = place(model).or_else(|| sieve::lift(model, List::Sources).then(|| place(model))?) {
        model.sources.at = at;
    }
}

/// What the cursor is on, so that it stays there when the rows come in another order.
#[derive(Debug, Clone, Copy)]
pub struct Held {
    cavity: Option<Id<Cavity>>,
    candidate: Option<Id<Candidate>>,
}

/// What the cursor is on.
pub fn held(model: &Model) -> Option<Held> {
    (model.place == Where::Sources).then(|| Held {
        cavity: cavity(model).map(|c| c.id),
        candidate: candidate(model).map(|c| c.id),
    })
}

/// Puts the cursor back on what it was on, if that is still listed.
pub fn hold(model: &mut Model, held: Held) {
    let Some(id) = held.cavity else { return };
    let Some(at) = rows(model).iter().position(|row| row.row.cavity() == id) else {
        model.sources.candidate = None;
        return;
    };
    model.sources.at = at;
    if let Some(one) = held.candidate {
        model.sources.candidate = candidates(model, id).iter().position(|c| c.id == one);
    }
}

/// Lists only inputs without a source, or all.
pub fn set_only_open(model: &mut Model, only: bool) {
    model.sources.only_open = only;
    model.derived.sources = std::sync::OnceLock::new();
}

fn enter_card(model: &mut Model) {
    let Some(count) = cavity(model).map(|c| candidates(model, c.id).len()) else {
        return;
    };
    if count > 0 {
        model.sources.candidate = Some(0);
    } else {
        model.say("no source was weighed for this one yet");
    }
}

/// The candidate taken, as an edit: where it is a cavity and no wire joins the two yet, a wire is added.
pub fn choose(model: &mut Model, id: Id<Candidate>, why: &str) -> Result<Edit, Refusal> {
    let book = std::sync::Arc::clone(&model.book);
    let signal = book
        .get(id)
        .and_then(|c| book.get(c.sink))
        .map(|c| c.name.to_lowercase())
        .unwrap_or_default();
    let draft = WireDraft {
        signal,
        ..WireDraft::default()
    };
    make::choose(&book, &mut model.ids, id, draft, why)
}

/// Asks for the why of what is done with the candidate under the cursor.
fn judge(model: &mut Model, chosen: bool) {
    let Some(candidate) = candidate(model) else { return };
    let sink = model.book.cavity_name(candidate.sink);
    let (word, purpose) = if chosen {
        ("choose", Purpose::Choose(candidate.id))
    } else {
        ("refuse", Purpose::Refuse(candidate.id))
    };
    let title = format!("{sink}: {word} {}. Why?", candidate.words);
    model.over.push(Over::Line(Line::new(title, purpose)));
}
