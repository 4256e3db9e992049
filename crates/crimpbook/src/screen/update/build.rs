//! Build.

use std::sync::OnceLock;

use crimpbook_workbook::{
    Book,
    edit::{Edit, Refusal},
    model::{Built, Cavity, End, Id, Key, Outcome, StepDone, Wire, WireEnd},
    plan::{self, Answer, Standing, StepOf},
};

use crate::screen::{
    action::{Do, Where, key_of},
    effect::{Effect, Then},
    model::{
        Model,
        build::{AtHand, Item, Order, PAUSED, StepAt, at_hand, first_of, item_of, items, next_open},
        line::{Line, Purpose},
        over::Over,
        overview::here,
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let hand = at_hand(model)?;
    match act {
        Do::StepDone => return Some(answer(model, &hand, Outcome::Done)),
        Do::StepSkipped => return Some(answer(model, &hand, Outcome::Skipped)),
        Do::StepFailed => failed(model, &hand),
        Do::Left => look(model, &hand, false),
        Do::Right => look(model, &hand, true),
        Do::First => model.build.step = Some(0),
        Do::Last => model.build.step = Some(hand.steps.len().saturating_sub(1)),
        Do::Up => step(model, hand.item, -1),
        Do::Down => step(model, hand.item, 1),
        Do::PageUp => step(model, hand.item, -10),
        Do::PageDown => step(model, hand.item, 10),
        Do::NextItem => next_item(model, hand.item),
        Do::Back => {
            model.build.step = None;
            if !model.build.filter.is_empty() {
                set_filter(model, String::new());
                model.say("every wire again");
            }
        }
        Do::Pause => return Some(pause(model, &hand)),
        Do::Order => {
            model.build.order = model.build.order.next();
            model.derived.items = OnceLock::new();
            let same = hand.step().map(|s| item_of(model, s.step));
            model.build.item = same.or(Some(hand.item.whole()));
            model.build.step = None;
            model.say(format!("order: {}", model.build.order.words()));
        }
        Do::Filter => filter(model),
        Do::Flip => model.build.flipped = !model.build.flipped,
        Do::Bell => {
            model.build.bell = !model.build.bell;
            model.say(if model.build.bell {
                "the bell rings: once for done, twice for failed"
            } else {
                "the bell is off"
            });
        }
        Do::ShowOnFace => show_on_face(model, &hand),
        _ => return None,
    }
    Some(Vec::new())
}

/// Puts an item at hand.
pub fn show(model: &mut Model, key: Key) {
    model.build.item = first_of(model, key);
    model.build.step = None;
}

/// Build is opened: it says where one was, once.
pub fn opened(model: &mut Model) {
    if !std::mem::replace(&mut model.build.greeted, true)
        && let Some(words) = here(model)
    {
        model.say(words);
    }
}

/// A step was answered for, or an answer was taken back: what comes next is at hand.
pub fn kept(model: &mut Model, before: &Book, then: Then) -> Vec<Effect> {
    if then.advance {
        model.build.step = None;
        if let Some(hand) = at_hand(model)
            && !hand.steps.iter().any(|s| s.standing.is_open())
        {
            next_item(model, hand.item);
        }
        return if model.build.bell {
            vec![Effect::Bell]
        } else {
            Vec::new()
        };
    }
    // Undo lands where the answer was.
    let (mut was, mut is): (Option<&StepDone>, Option<&StepDone>) = (None, None);
    let (new, old) = (model.book.all::<StepDone>(), before.all::<StepDone>());
    new.differences(old, &mut |here, there| {
        was = was.or(there);
        is = is.or(here);
    });
    let done = was.or(is);
    let step = done.map(|done| StepOf {
        of: done.of,
        step: done.step,
    });
    if let Some(step) = step {
        model.build.item = Some(item_of(model, step));
        model.build.step = None;
    }
    Vec::new()
}

fn look(model: &mut Model, hand: &AtHand, forward: bool) {
    let at = if forward {
        hand.at + 1
    } else {
        hand.at.saturating_sub(1)
    };
    model.build.item = Some(hand.item);
    model.build.step = Some(at.min(hand.steps.len().saturating_sub(1)));
}

fn step(model: &mut Model, item: Item, by: isize) {
    let list = items(model);
    let at = list.iter().position(|i| *i == item).unwrap_or(0);
    let to = at.saturating_add_signed(by).min(list.len().saturating_sub(1));
    model.build.item = list.get(to).copied();
    model.build.step = None;
}

fn next_item(model: &mut Model, item: Item) {
    let list = items(model);
    match next_open(model, list, item) {
        Some(next) => {
            model.build.item = Some(next);
            model.build.step = None;
        }
        None => model.say(format!(
            "nothing is open in this list; {} shows every wire again",
            key_of(Do::Back)
        )),
    }
}

/// A step in words, with its place.
fn said(book: &Book, step: StepOf) -> String {
    format!("{}: {}", book.built_name(step.of), step.step.words())
}

fn answer(model: &mut Model, hand: &AtHand, outcome: Outcome) -> Vec<Effect> {
    let answering = hand.answering();
    // A stray key on what is done changes nothing; it goes on.
    if let [step] = answering.as_slice()
        && step.standing == Standing::Done
    {
        model.say(format!("{} was done already", said(&model.book, step.step)));
        model.build.item = Some(hand.item);
        let next = hand
            .steps
            .iter()
            .skip(hand.at + 1)
            .position(|s| s.standing.is_open());
        model.build.step = next.map(|n| hand.at + 1 + n);
        if next.is_none() && !hand.steps.iter().any(|s| s.standing.is_open()) {
            next_item(model, hand.item);
        }
        return Vec::new();
    }
    // What failed stays in sight until it is done: left out, nobody would see it again.
    if outcome == Outcome::Skipped
        && let Some(failed) = answering.iter().find(|s| s.standing == Standing::Failed)
    {
        model.complain(format!(
            "{} failed and is not skipped; do it again, then {}",
            said(&model.book, failed.step),
            key_of(Do::StepDone)
        ));
        return Vec::new();
    }
    model.build.item = Some(hand.item);
    let edit = edit(model, &answering, outcome, String::new());
    commit(model, edit, advance())
}

fn advance() -> Then {
    Then {
        close: true,
        go: None,
        advance: true,
    }
}

/// The answer for steps, as one edit; in place of answers given before.
fn edit(model: &mut Model, steps: &[StepAt], outcome: Outcome, note: String) -> Result<Edit, Refusal> {
    let said = Answer {
        outcome,
        note,
        at: model.now,
        who: model.who.clone(),
    };
    let steps: Vec<StepOf> = steps.iter().map(|s| s.step).collect();
    plan::answer(&model.book, &mut model.ids, &steps, &said)
}

/// Asks for an answer to be kept, or says why it cannot be given.
fn commit(model: &mut Model, edit: Result<Edit, Refusal>, then: Then) -> Vec<Effect> {
    match edit {
        Ok(edit) => vec![Effect::Commit(Box::new(edit), then)],
        Err(refusal) => {
            model.complain(refusal.to_string());
            Vec::new()
        }
    }
}

fn failed(model: &mut Model, hand: &AtHand) {
    // All that fails with it is named: they are done in one go.
    let steps = hand.answering();
    let Some(first) = steps.first() else { return };
    let words: Vec<&str> = steps.iter().map(|step| step.step.step.words()).collect();
    let what = format!("{}: {}", model.book.built_name(first.step.of), words.join(", "));
    model.build.item = Some(hand.item);
    model.over.push(Over::Line(Line::new(
        format!("{what} failed. What was wrong?"),
        Purpose::Failed,
    )));
}

/// What was wrong with the step at hand is said.
pub fn take_failure(model: &mut Model, note: String) -> Vec<Effect> {
    if note.is_empty() {
        return super::line::wrong(model, "say what was wrong; a few words will do");
    }
    let Some(hand) = at_hand(model) else {
        return Vec::new();
    };
    let edit = edit(model, &hand.answering(), Outcome::Failed, note);
    if !hand.together {
        model.build.step = Some(hand.at);
    }
    let then = Then {
        close: true,
        ..Then::default()
    };
    let mut effects = commit(model, edit, then);
    if model.build.bell {
        effects.extend([Effect::Bell, Effect::Bell]);
    }
    effects
}

fn filter(model: &mut Model) {
    // Only a pass has a name that could be asked for.
    let title = match model.build.order {
        Order::Passes => {
            "Only what has: pass, colour, size, connector, signal, bundle (insert MC-A; RD 0.5)."
        }
        _ => "Only what has: colour, size, connector, signal, bundle (RD 0.5).",
    };
    let line = Line::new(title, Purpose::Filter);
    let line = line.offered(model.build.filter.clone());
    model.over.push(Over::Line(line));
}

/// Takes the words of the filter.
pub fn take_filter(model: &mut Model, words: String) {
    let before = set_filter(model, words);
    if items(model).is_empty() {
        let order = std::mem::replace(&mut model.build.order, Order::Passes);
        model.derived.items = OnceLock::new();
        let some_in_passes = !items(model).is_empty();
        model.build.order = order;
        let words = set_filter(model, before);
        let hint = match some_in_passes {
            true => format!(
                "; passes are named in their own order only ({})",
                key_of(Do::Order)
            ),
            false => String::new(),
        };
        super::line::wrong(model, format!("no wire has all of \"{words}\"{hint}"));
        return;
    }
    model.over.pop();
    let list = items(model);
    let first = list
        .iter()
        .copied()
        .find(|i| crate::screen::model::build::open(&model.book, *i));
    model.build.item = first.or(list.first().copied());
    model.build.step = None;
}

/// Puts other words into the filter; gives those before.
fn set_filter(model: &mut Model, words: String) -> String {
    model.derived.items = OnceLock::new();
    std::mem::replace(&mut model.build.filter, words)
}

fn pause(model: &mut Model, hand: &AtHand) -> Vec<Effect> {
    let Some(step) = hand.step().map(|s| s.step) else {
        return Vec::new();
    };
    let place = model.book.built_name(step.of);
    let title = format!("{PAUSED}{place}, {}", step.step.words());
    super::everywhere::go_to(model, Where::Overview);
    vec![Effect::Commit(
        Box::new(Edit::progress(title, Vec::new())),
        Then::default(),
    )]
}

fn show_on_face(model: &mut Model, hand: &AtHand) {
    let end = hand.step().and_then(|s| match s.step.of {
        Built::End { wire, end } => model.book.get(wire).map(|w: &Wire| match end {
            WireEnd::From => w.from,
            WireEnd::To => w.to,
        }),
        _ => None,
    });
    let id: Option<Id<Cavity>> = match end {
        Some(End::Cavity(id)) => Some(id),
        _ => None,
    };
    match id {
        Some(id) => super::everywhere::show(model, Key::of(id)),
        None => model.complain("this step is not at a cavity"),
    }
}
