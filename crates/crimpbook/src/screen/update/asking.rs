//! Missing facts: an answer is one edit, then the next is asked.

use crate::screen::{
    effect::{Effect, Then},
    model::{
        Model,
        asking::{Asking, asked},
        over::Over,
        overview::{To, row_at},
    },
};

/// Begins to ask, with what the Overview's cursor is on where that is a missing fact.
pub fn open(model: &mut Model) {
    let first = row_at(model)
        .filter(|row| row.missing)
        .and_then(|row| match row.to {
            To::Record(key) => Some(key),
            _ => None,
        });
    let asking = Asking::of(model, first);
    model.over.push(Over::Asking(asking));
}

fn sitting(model: &mut Model) -> Option<&mut Asking> {
    match model.over.last_mut() {
        Some(Over::Asking(asking)) => Some(asking),
        _ => None,
    }
}

/// Takes what is typed as the answer.
pub fn answer(model: &mut Model) -> Vec<Effect> {
    let book = std::sync::Arc::clone(&model.book);
    let Some(asking) = sitting(model) else {
        return Vec::new();
    };
    let Some(question) = asking.question() else {
        return Vec::new();
    };
    let Some(ask) = &question.ask else {
        asking.wrong = Some("no single figure tells this; look at the place, or skip it".to_owned());
        return Vec::new();
    };
    match ask.answer(&book, &asking.editor.text()) {
        Ok(edit) => vec![Effect::Commit(Box::new(edit), Then::default())],
        Err(sentence) => {
            asking.wrong = Some(sentence);
            Vec::new()
        }
    }
}

/// The answer was kept: what it told is not asked any more, and the next question takes its place.
pub fn kept(model: &mut Model) {
    if sitting(model).is_none() {
        return;
    }
    let list = asked(model);
    if let Some(asking) = sitting(model) {
        asking.answered += 1;
        asking.wrong = None;
        asking.editor = Default::default();
        let at = asking.at;
        let left: Vec<_> = asking.list.iter().filter(|q| list.contains(q)).cloned().collect();
        asking.at = at.min(left.len().saturating_sub(1));
        asking.list = left;
    }
}

/// The checks ran again, or somebody else changed the workbook.
pub fn renew(model: &mut Model) {
    if sitting(model).is_none() {
        return;
    }
    let list = asked(model);
    if let Some(asking) = sitting(model) {
        asking.renew(list);
    }
}

/// Goes to another question; what is typed must be taken or erased first.
pub fn step(model: &mut Model, on: bool) {
    let Some(asking) = sitting(model) else { return };
    if asking.typed() {
        asking.wrong = Some("what is typed is not taken yet; take it, or erase it to go on".to_owned());
        return;
    }
    asking.wrong = None;
    let count = asking.list.len().max(1);
    asking.at = (asking.at + if on { 1 } else { count - 1 }) % count;
}

/// Leaves, and shows the record that is asked about.
pub fn show(model: &mut Model) {
    let Some(about) = sitting(model).and_then(|a| a.question()).map(|q| q.about()) else {
        return;
    };
    if sitting(model).is_some_and(|a| a.typed()) {
        step(model, true);
        return;
    }
    model.over.clear();
    super::everywhere::show(model, about);
}
