//! The finder.

use super::{
    everywhere::{go_to, show},
    perform,
};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    keys::Key,
    model::{
        Model,
        find::{Target, matches},
        over::Over,
    },
};

/// Goes to the match that is chosen.
pub fn take(model: &mut Model) -> Vec<Effect> {
    let Some(Over::Find(find)) = model.over.last() else {
        return Vec::new();
    };
    let (query, at) = (find.editor.text(), find.at);
    let found = find.found.get(at).cloned();
    match found.map(|m| m.target) {
        None => {
            let query = query.trim().to_owned();
            if query.is_empty() {
                model.over.pop();
            } else {
                model.complain(format!("nothing here is called or says \"{query}\""));
            }
            Vec::new()
        }
        Some(Target::Record(key)) => {
            model.over.clear();
            show(model, key);
            Vec::new()
        }
        Some(Target::Screen(place)) => {
            model.over.clear();
            go_to(model, place);
            Vec::new()
        }
        Some(Target::Entry(seq)) => {
            model.over.clear();
            go_to(model, Where::Log);
            super::log::open(model, seq)
        }
        Some(Target::Action(act)) => {
            model.over.clear();
            perform(model, act, Key::Enter)
        }
    }
}

/// The next match or the one before.
pub fn choose(model: &mut Model, act: Do) {
    let Some(Over::Find(find)) = model.over.last() else {
        return;
    };
    let count = find.found.len();
    if let Some(Over::Find(find)) = model.over.last_mut() {
        find.at = if act == Do::NextMatch {
            (find.at + 1).min(count.saturating_sub(1))
        } else {
            find.at.saturating_sub(1)
        };
    }
}

/// Looks again for what is typed.
pub fn look(model: &mut Model) {
    let Some(Over::Find(find)) = model.over.last() else {
        return;
    };
    let found = matches(model, &find.editor.text());
    if let Some(Over::Find(find)) = model.over.last_mut() {
        find.found = found;
        find.at = 0;
    }
}
