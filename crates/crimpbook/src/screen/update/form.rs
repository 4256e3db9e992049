//! Forms.

use crate::screen::{
    editor::Editor,
    effect::Effect,
    form::{self, Purpose, Start, Wrong},
    model::{Model, over::Over},
};

/// Opens a form over the screen.
pub fn open(model: &mut Model, purpose: Purpose, start: &Start) {
    let form = form::open(model, purpose, start);
    model.over.push(Over::Form(form));
}

/// To the next field; from the last one the form is taken.
pub fn accept(model: &mut Model) -> Vec<Effect> {
    if !settle(model) {
        return Vec::new();
    }
    let wrong = wrong_here(model);
    let Some(Over::Form(form)) = model.over.last_mut() else {
        return Vec::new();
    };
    if form.at + 1 == form.fields.len() {
        return take(model);
    }
    match wrong {
        // Said once; who goes on all the same may have a later field in mind.
        Some(wrong) if form.field_mut().is_some_and(|field| field.wrong.is_none()) => form.blame(wrong),
        _ => form.at += 1,
    }
    Vec::new()
}

/// What is wrong with the field under the cursor, as the form stands.
fn wrong_here(model: &mut Model) -> Option<Wrong> {
    let Some(Over::Form(form)) = model.over.last() else {
        return None;
    };
    let mut asked = form.clone();
    let here = asked.fields.get(asked.at)?.name;
    // What is wrong elsewhere is told there; here it would be in the way.
    loop {
        let wrong = form::take(model, &asked).err()?;
        if wrong.field == here {
            return Some(wrong);
        }
        let elsewhere = asked.fields.iter_mut().find(|field| field.name == wrong.field)?;
        if !elsewhere.typed() {
            return None;
        }
        elsewhere.editor = Editor::with(elsewhere.started.clone());
    }
}

/// Settles the field under the cursor; false where it must not be left so.
fn settle(model: &mut Model) -> bool {
    let Some(Over::Form(mut form)) = model.over.pop() else {
        return false;
    };
    let settled = form::settle(model, &mut form);
    model.over.push(Over::Form(form));
    settled
}

/// Takes the form as it stands.
pub fn take(model: &mut Model) -> Vec<Effect> {
    if !settle(model) {
        return Vec::new();
    }
    let Some(Over::Form(form)) = model.over.last_mut() else {
        return Vec::new();
    };
    form.wrong = None;
    for at in 0..form.fields.len() {
        if form.fields.get_mut(at).is_some_and(|field| !field.settle()) {
            form.at = at;
            return Vec::new();
        }
    }
    let asked = form.clone();
    let taken = form::take(model, &asked);
    match taken {
        Ok((edit, then)) => vec![Effect::Commit(Box::new(edit), then)],
        Err(wrong) => {
            if let Some(Over::Form(form)) = model.over.last_mut() {
                form.blame(wrong);
            }
            Vec::new()
        }
    }
}

/// To the next field or the one before, round the ends.
pub fn step(model: &mut Model, forward: bool) {
    settle(model);
    let wrong = wrong_here(model);
    let Some(Over::Form(form)) = model.over.last_mut() else {
        return;
    };
    if let Some(wrong) = wrong {
        form.blame(wrong);
    }
    let count = form.fields.len().max(1);
    form.at = (form.at + if forward { 1 } else { count - 1 }) % count;
    if let Some(field) = form.field_mut() {
        field.enter();
    }
}

/// At the end of the text: puts the best match in its place. False where that is not so.
pub fn complete(model: &mut Model) -> bool {
    let Some(Over::Form(form)) = model.over.last_mut() else {
        return false;
    };
    form.field_mut().is_some_and(|field| {
        let at_end = field.editor.before() == field.editor.text();
        at_end && field.complete()
    })
}
