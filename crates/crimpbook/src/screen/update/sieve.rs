//! The order of a list, and the words its rows are held to.

use std::sync::OnceLock;

use crate::screen::{
    action::{Do, key_of},
    effect::Effect,
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        sieve::{List, Sieve, cursor, identities, list_of, rows_shown, set_cursor},
    },
    text::count,
};

pub fn perform(model: &mut Model, act: Do) -> Vec<Effect> {
    let Some(list) = list_of(model) else {
        return Vec::new();
    };
    let mut sieve = model.sieves.of(list);
    match act {
        Do::ListOrder => {
            sieve.by = (sieve.by + 1) % list.orders().len().max(1);
            sieve.turned = false;
        }
        Do::TurnOrder => sieve.turned = !sieve.turned,
        _ => {
            let title = format!(
                "Only rows with which words? Empty: every row. ({})",
                examples(list)
            );
            let line = Line::new(title, Purpose::OnlyWith).offered(sieve.words);
            model.over.push(Over::Line(line));
            return Vec::new();
        }
    }
    let order = list.orders().get(sieve.by).copied().unwrap_or_default();
    let turned = if sieve.turned { ", turned round" } else { "" };
    set(model, list, sieve);
    model.say(format!(
        "{order}{turned}; {} goes to the next order, {} turns it round",
        key_of(Do::ListOrder),
        key_of(Do::TurnOrder)
    ));
    Vec::new()
}

fn examples(list: List) -> &'static str {
    match list {
        List::Findings => "drop, MC-A16, fuse",
        List::Sources => "MC-A, analogue, brake",
        List::FarEnds => "F6, W44, 0.5",
        List::Volts => "brake, 16",
        List::Written => "charge_lead, contact",
        List::Tests => "MC-A16, W44, open",
        List::Settings => "regen, MC-A12, %",
        List::Trials => "coast, rain",
        List::Log => "W44, release, a name",
        List::Build | List::Parts(_) => "RD 0.5, MC-A",
    }
}

/// Takes the words; where no row has them the list stays as it was.
pub fn take(model: &mut Model, words: String) -> Vec<Effect> {
    let Some(list) = list_of(model) else {
        return Vec::new();
    };
    let before = model.sieves.of(list);
    let sieve = Sieve {
        words: words.clone(),
        ..before.clone()
    };
    set(model, list, sieve);
    let rows = rows_shown(model, list);
    if rows == 0 && !words.is_empty() {
        set(model, list, before);
        return super::line::wrong(model, format!("no row here has all of \"{words}\""));
    }
    model.over.pop();
    model.say(if words.is_empty() {
        "every row again".to_owned()
    } else {
        format!(
            "{} with \"{words}\"; {} shows all again",
            count(rows, "row", "rows"),
            key_of(Do::Back)
        )
    });
    Vec::new()
}

/// Lets every row through; whether that changes anything.
pub fn lift(model: &mut Model, list: List) -> bool {
    let sieve = model.sieves.of(list);
    if sieve.words.is_empty() {
        return false;
    }
    let words = String::new();
    set(model, list, Sieve { words, ..sieve });
    true
}

/// Lets every row of the list shown through, if it is held to some words.
pub fn lift_shown(model: &mut Model) {
    if list_of(model).is_some_and(|list| lift(model, list)) {
        model.say("every row again");
    }
}

/// Sets order and words; the cursor stays on what it was on, else it is on the first row.
fn set(model: &mut Model, list: List, sieve: Sieve) {
    let held = hold(model, list);
    model.sieves.set(list, sieve);
    match list {
        List::Findings => model.derived.overview = OnceLock::new(),
        List::Sources => {
            model.sources.candidate = None;
            model.derived.sources = OnceLock::new();
        }
        List::Written => model.derived.written = OnceLock::new(),
        List::Tests => model.derived.forget_tests(),
        List::Settings => model.derived.settings = OnceLock::new(),
        List::Parts(_) => model.derived.parts = Default::default(),
        List::Build | List::FarEnds | List::Volts | List::Trials | List::Log => {}
    }
    put_back(model, held);
}

/// What the cursor of a list is on.
#[derive(Debug)]
pub struct Held {
    list: List,
    at: usize,
    on: Option<String>,
}

/// What the cursor of the list shown is on, where its rows may change their places by themselves.
pub fn held(model: &Model) -> Option<Held> {
    let list = list_of(model)?;
    (!model.sieves.of(list).is_plain()).then(|| hold(model, list))
}

fn hold(model: &Model, list: List) -> Held {
    let at = cursor(model, list).unwrap_or(0);
    let on = identities(model, list).into_iter().nth(at);
    Held { list, at, on }
}

/// Puts the cursor back on what it was on, unless it was put elsewhere meanwhile.
pub fn keep(model: &mut Model, held: Held) {
    if list_of(model) == Some(held.list) && cursor(model, held.list) == Some(held.at) {
        put_back(model, held);
    }
}

fn put_back(model: &mut Model, held: Held) {
    let rows = identities(model, held.list);
    let again = held.on.and_then(|on| rows.iter().position(|row| *row == on));
    let first = rows
        .iter()
        .position(|row| held.list != List::Findings || row.starts_with("Findings"));
    set_cursor(model, held.list, again.or(first).unwrap_or(0));
}
