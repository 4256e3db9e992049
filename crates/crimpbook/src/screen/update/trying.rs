//! Edits that are tried.

use std::sync::Arc;

use crate::{
    screen::{
        action::{Do, key_of},
        effect::{Effect, Then},
        model::{
            Model,
            line::{Line, Purpose},
            over::Over,
            trying::{self, Trying},
        },
    },
    session::{Tried, Tries},
};

/// Begins, or shows what it costs.
pub fn open(model: &mut Model) -> Vec<Effect> {
    if model.trying.is_none() {
        return vec![Effect::Try(Tries::Begin)];
    }
    model.over.push(Over::Trying { from: 0 });
    Vec::new()
}

/// Asks for the why, then keeps all of it.
pub fn keep(model: &mut Model) {
    let why = trying::whys(model);
    let line = Line::new(
        "Why? All that is tried is kept as one change.",
        Purpose::KeepTried,
    );
    model.over.push(Over::Line(line.started(why)));
}

/// Takes in what came of it.
pub fn came(model: &mut Model, tried: Tried) -> Vec<Effect> {
    match tried {
        Tried::Begun => {
            if let (None, Some(base)) = (&model.trying, model.findings.computed.clone()) {
                model.trying = Some(Trying::of(base, model.heads.len()));
            }
            let key = key_of(Do::Try);
            model.say(format!(
                "edits are tried from here on, none is kept; {key}: what they cost, keep, drop"
            ));
            Vec::new()
        }
        Tried::Kept(kept) => {
            model.trying = None;
            let then = Then {
                close: true,
                ..Then::default()
            };
            super::kept_edit(model, kept, then)
        }
        Tried::Dropped(book, heads) => {
            model.trying = None;
            model.over.clear();
            model.set_book(book);
            model.heads = heads;
            model.say("what was tried is dropped; the plan is as it was");
            super::check(model)
        }
    }
}

/// The plan before what is tried, where more of it comes to be known before the first edit.
pub fn base(model: &mut Model) {
    if trying::tried(model) == Some(0)
        && let (Some(trying), Some(computed)) = (&mut model.trying, &model.findings.computed)
    {
        trying.base = Arc::clone(computed);
    }
}
