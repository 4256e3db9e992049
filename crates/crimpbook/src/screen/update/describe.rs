//! Many cavities described quickly, line after line typed.

use crimpbook_record::import::kind;
use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{Cavity, Id, SignalKind},
};

use crate::screen::{
    action::{Do, Where, key_of},
    effect::{Effect, Then},
    model::{
        Model,
        face::{cavity, next},
        line::{Line, Purpose},
        over::Over,
    },
};

/// Asks for function and kind of the cavity under the cursor.
pub fn open(model: &mut Model) {
    let Some(cavity) = cavity(model) else { return };
    let started = match cavity.kind {
        Some(kind) => format!("{}, {}", cavity.name, kind.words()),
        None => cavity.name.clone(),
    };
    let title = format!(
        "{}: function, kind (KEEP ALIVE, logic supply). {} goes on to the next, {} ends.",
        model.book.cavity_name(cavity.id),
        key_of(Do::Accept),
        key_of(Do::Cancel)
    );
    let line = Line::new(title, Purpose::Describe(cavity.id)).started(started);
    model.over.push(Over::Line(line));
}

/// Takes what was typed of a cavity, and asks for the next one.
pub fn take(model: &mut Model, id: Id<Cavity>, text: &str) -> Vec<Effect> {
    let Some(before) = model.book.get(id).cloned() else {
        model.over.pop();
        return Vec::new();
    };
    let (name, kind) = match split(text) {
        Ok((name, None)) => (name, before.kind),
        Ok((name, Some(kind))) => (name, kind),
        Err(sentence) => {
            if let Some(Over::Line(line)) = model.over.last_mut() {
                line.wrong = Some(sentence);
            }
            return Vec::new();
        }
    };
    let after = Cavity {
        name: name.to_owned(),
        kind,
        ..before.clone()
    };
    if after == before {
        model.over.pop();
        go_on(model);
        return Vec::new();
    }
    model.face.describing = true;
    let title = format!("{} described", model.book.cavity_name(id));
    let edit = Edit::design(title, vec![Change::replace(before, after)]);
    let then = Then {
        close: true,
        go: None,
        advance: true,
    };
    vec![Effect::Commit(Box::new(edit), then)]
}

/// After one was described: the next is asked for, where there is one.
pub fn kept(model: &mut Model, before: Option<Id<Cavity>>) {
    let moved = cavity(model).map(|c| c.id) != before;
    if std::mem::take(&mut model.face.describing) && moved {
        open(model);
    }
}

fn go_on(model: &mut Model) {
    let after = cavity(model).and_then(|c| next(model, c.id)).map(|c| c.id);
    match after {
        Some(id) => {
            model.face.cavity = Some(id);
            open(model);
        }
        None => model.say("that was the last cavity"),
    }
}

/// Function and kind as typed, parted at a comma: kinds have commas of their own, so the last place counts from which on
/// a kind is written out, then the last one from which on one begins, then the last comma. No comma: no word of a kind.
fn split(text: &str) -> Result<(&str, Option<Option<SignalKind>>), String> {
    let parts: Vec<(&str, &str)> = text
        .match_indices(',')
        .filter_map(|(at, _)| text.split_at_checked(at))
        .map(|(name, rest)| (name.trim(), rest.trim_start_matches(',')))
        .collect();
    let Some((name, rest)) = parts.last().copied() else {
        return Ok((text.trim(), None));
    };
    if let Some((name, kind)) = parts.iter().rev().find_map(|(n, r)| Some((*n, kind::exact(r)?))) {
        return Ok((name, Some(Some(kind))));
    }
    let begun = parts
        .iter()
        .rev()
        .find(|(_, rest)| !rest.trim().is_empty() && !kind::beginning(&kind::spelt(rest)).is_empty());
    let (name, rest) = begun.copied().unwrap_or((name, rest));
    Ok((name, Some(find_kind(rest)?)))
}

/// The kind that some words mean; nothing typed: not known.
fn find_kind(words: &str) -> Result<Option<SignalKind>, String> {
    match words.trim() {
        "" => Ok(None),
        words => kind::find(words).map(Some),
    }
}

/// Whether what is pasted is rows meant for the Face, though a cavity is just being described in a line: the line makes
/// way if nothing is typed in it, and says so otherwise.
pub fn takes_rows(model: &mut Model, text: &str) -> bool {
    if text.trim().lines().count() < 2 {
        return false;
    }
    match model.over.last() {
        Some(Over::Line(line)) if matches!(line.purpose, Purpose::Describe(_)) && !line.typed() => {
            model.over.pop();
            model.place_of_keys() == Where::Face
        }
        _ => false,
    }
}
