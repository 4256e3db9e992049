//! Parts.

use crimpbook_workbook::{
    edit::{Refusal, Stamp, make},
    model::Key,
};

use super::{everywhere::move_cursor, form, sieve};
use crate::screen::{
    action::Do,
    effect::{Effect, Then},
    form::Start,
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        parts::{KINDS, kind, purpose, record, rows},
        sieve::List,
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let shown = kind(model);
    let count = rows(model).len();
    if move_cursor(model.parts.at.entry(shown).or_insert(0), count, act) {
        return Some(Vec::new());
    }
    match act {
        Do::Left => model.parts.kind = (model.parts.kind + KINDS.len() - 1) % KINDS.len(),
        Do::Right => model.parts.kind = (model.parts.kind + 1) % KINDS.len(),
        Do::Add => {
            if let Some(purpose) = purpose(shown, None) {
                form::open(model, purpose, &Start::default());
            }
        }
        Do::Edit => {
            let key = record(model)?;
            form::open(model, purpose(shown, Some(key))?, &Start::default());
        }
        Do::Remove => {
            let key = record(model)?;
            remove(model, key);
        }
        _ => return None,
    }
    Some(Vec::new())
}

/// Puts the cursor on a record.
pub fn show(model: &mut Model, key: Key) {
    let Some(at) = KINDS.iter().position(|kind| *kind == key.kind) else {
        let name = model.book.name_of(key);
        model.complain(format!("{name} has no page of its own"));
        return;
    };
    model.parts.kind = at;
    let place = |model: &Model| rows(model).iter().position(|row| row.key == key);
    let row = place(model).or_else(|| sieve::lift(model, List::Parts(key.kind)).then(|| place(model))?);
    model.parts.at.insert(key.kind, row.unwrap_or(0));
}

/// Asks for the word that removes a record.
pub fn remove(model: &mut Model, key: Key) {
    let name = model.book.name_of(key);
    // What cannot be is said before a word is typed.
    let stamp = Stamp {
        id: model.ids.make(),
        at: model.now,
        who: model.who.clone(),
    };
    let made = make::remove(&model.book, key);
    if let Ok(edit) = &made
        && let Err(refusal @ Refusal::NotValid { .. }) = model.book.prepare(edit.clone(), stamp)
    {
        return model.complain(refusal.to_string());
    }
    match made {
        Ok(edit) => model.over.push(Over::Line(Line::new(
            format!("{}? Type remove to do it; it can be undone.", edit.title),
            Purpose::Word {
                word: "remove".to_owned(),
                edit: Box::new(edit),
                then: Then {
                    close: true,
                    ..Then::default()
                },
            },
        ))),
        Err(refusal) => model.complain(format!("{name} cannot be removed: {refusal}")),
    }
}
