//! Sources.

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{Candidate, Cavity, End, Key, Verdict, Wire},
};

use super::{everywhere::move_cursor, form};
use crate::screen::{
    action::{Do, Where},
    effect::{Effect, Then},
    form::{Purpose, Start, decide_wired, new_wire, next_wire},
    model::{
        Model,
        line::Line,
        over::Over,
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
            form::open(model, Purpose::Candidate(id), &Start::default());
        }
        Do::Choose => choose(model),
        Do::Refuse => refuse(model),
        Do::EditCavity => {
            let id = cavity(model)?.id;
            form::open(model, Purpose::Cavity(id), &Start::default());
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
    if let Some(at) = rows(model).iter().position(|(_, row)| row.cavity() == id) {
        model.sources.at = at;
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

fn judged(before: &Candidate, verdict: Verdict) -> Change {
    let after = Candidate {
        verdict,
        ..before.clone()
    };
    Change::replace(before.clone(), after)
}

/// Takes the candidate under the cursor; where it is a cavity and no wire joins the two yet, a wire is added.
fn choose(model: &mut Model) {
    let Some(chosen) = candidate(model).cloned() else {
        return;
    };
    let sink = model.book.cavity_name(chosen.sink);
    let mut title = format!("{sink}: source {} chosen", chosen.words);
    let mut changes = vec![judged(&chosen, Verdict::Chosen)];
    // Only one source is the chosen one; the one before goes back among those that are weighed.
    let before = candidates(model, chosen.sink);
    changes.extend(
        before
            .into_iter()
            .filter(|c| c.verdict == Verdict::Chosen && c.id != chosen.id)
            .map(|c| judged(c, Verdict::Weighed)),
    );
    if let Some(source) = chosen.source {
        let nets = &model.signals().nets;
        if nets.at_cavity(source) != nets.at_cavity(chosen.sink) {
            let (from, to) = (End::Cavity(source), End::Cavity(chosen.sink));
            let label = next_wire(&model.book);
            let signal = model
                .book
                .get(chosen.sink)
                .map(|c| c.name.to_lowercase())
                .unwrap_or_default();
            let id = model.ids.make();
            changes.push(Change::make(Wire {
                signal,
                ..new_wire(id, &label, from, to)
            }));
            changes.extend(decide_wired(&model.book, &[from, to]));
            title.push_str(&format!(
                ", {label} added from {}",
                model.book.cavity_name(source)
            ));
        }
    }
    ask_why(model, Edit::design(title, changes));
}

fn refuse(model: &mut Model) {
    let Some(refused) = candidate(model).cloned() else {
        return;
    };
    let title = format!(
        "{}: source {} refused",
        model.book.cavity_name(refused.sink),
        refused.words
    );
    let edit = Edit::design(title, vec![judged(&refused, Verdict::Refused)]);
    ask_why(model, edit);
}

fn ask_why(model: &mut Model, edit: Edit) {
    let title = format!("{}. Why?", edit.title);
    let then = Then {
        close: true,
        ..Then::default()
    };
    model
        .over
        .push(Over::Line(Line::why_of_records(title, edit, then)));
}
