//! The Face.

use std::collections::BTreeSet;

use crimpbook_workbook::{
    edit::make::{self, WireDraft},
    model::{Cavity, Connector, Decision, End, Id, Key, Wire, face::Direction},
};

use super::form;
use crate::screen::{
    action::Do,
    effect::{Effect, Then},
    form::{Purpose, Start},
    model::{
        Model,
        face::{cavity, chosen, connector, connectors, next, view, wire_at},
        line::{self, Line},
        over::Over,
    },
    text::count,
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    match act {
        Do::Left => walk(model, Direction::Left),
        Do::Right => walk(model, Direction::Right),
        Do::Up => walk(model, Direction::Up),
        Do::Down => walk(model, Direction::Down),
        Do::First | Do::Last => to_end(model, act == Do::Last),
        Do::NextConnector => step(model, true),
        Do::PreviousConnector => step(model, false),
        Do::Flip => model.face.flipped = !model.face.flipped,
        Do::Mark => mark(model),
        Do::MarkRun => mark_run(model),
        Do::Back => {
            model.face.marks.clear();
            model.face.run = None;
        }
        Do::Decide => model.over.push(Over::Deciding),
        Do::SameAgain => return Some(same_again(model)),
        Do::Bridge => bridge(model),
        Do::WireFromHere => wire_from_here(model),
        Do::LikeLastWire => return Some(like_last_wire(model)),
        Do::PairFromHere => {
            let start = start(model);
            form::open(model, Purpose::Pair, &start);
        }
        Do::Describe => super::describe::open(model),
        Do::EditCavity => {
            let id = cavity(model)?.id;
            form::open(model, Purpose::Cavity(id), &Start::default());
        }
        Do::Weigh => {
            let id = cavity(model)?.id;
            form::open(model, Purpose::Candidate(id), &Start::default());
        }
        Do::EditConnector => {
            let id = connector(model)?.id;
            form::open(model, Purpose::Connector(Some(id)), &Start::default());
        }
        Do::AddConnector => {
            let unit = connector(model)
                .map(|c| model.book.label_of(c.unit))
                .unwrap_or_default();
            let start = Start {
                unit,
                ..Start::default()
            };
            form::open(model, Purpose::Connector(None), &start);
        }
        _ => return None,
    }
    Some(Vec::new())
}

/// Puts the cursor on a cavity or connector.
pub fn show(model: &mut Model, key: Key) {
    if let Some(id) = key.as_id::<Cavity>() {
        model.face.connector = model.book.get(id).map(|c| c.connector);
        model.face.cavity = Some(id);
    } else if let Some(id) = key.as_id::<Connector>() {
        model.face.connector = Some(id);
        model.face.cavity = None;
    }
    model.face.marks.clear();
    model.face.run = None;
}

/// An edit was kept: the decision in it can be repeated, and the cursor moves on.
pub fn kept(model: &mut Model, advance: bool) {
    let decided = model.face.deciding.take();
    if !advance {
        return;
    }
    if let Some(decision) = decided {
        let why = model.heads.last().map(|h| h.why.clone()).unwrap_or_default();
        model.face.last = Some((decision, why));
    }
    let here = cavity(model).map(|c| c.id);
    if model.face.marks.is_empty() {
        let after = cavity(model).and_then(|c| next(model, c.id)).map(|c| c.id);
        if after.is_some() {
            model.face.cavity = after;
        }
    }
    model.face.marks.clear();
    model.face.run = None;
    super::describe::kept(model, here);
}

fn walk(model: &mut Model, direction: Direction) {
    let Some(at) = cavity(model) else { return };
    let (connector, number) = (at.connector, at.number.clone());
    let face = model.book.face_of(connector);
    let seen = view(model, &face);
    if let Some(number) = face.neighbour(&number, seen, direction) {
        let found = model
            .book
            .cavities_of(connector)
            .into_iter()
            .find(|c| c.number.eq_ignore_ascii_case(number))
            .map(|c| c.id);
        model.face.cavity = found;
    }
    extend_run(model);
}

fn to_end(model: &mut Model, last: bool) {
    let Some(id) = connector(model).map(|c| c.id) else {
        return;
    };
    let all = model.book.cavities_of(id);
    let at = if last { all.last() } else { all.first() };
    model.face.cavity = at.map(|c| c.id);
    extend_run(model);
}

fn step(model: &mut Model, forward: bool) {
    let all = connectors(model);
    let Some(at) = connector(model).and_then(|c| all.iter().position(|id| *id == c.id)) else {
        return;
    };
    let next = (at + if forward { 1 } else { all.len() - 1 }) % all.len();
    if let Some(id) = all.get(next).copied() {
        show(model, Key::of(id));
    }
}

fn mark(model: &mut Model) {
    model.face.run = None;
    let Some(id) = cavity(model).map(|c| c.id) else {
        return;
    };
    if !model.face.marks.remove(&id) {
        model.face.marks.insert(id);
    }
}

fn mark_run(model: &mut Model) {
    if model.face.run.take().is_some() {
        return;
    }
    model.face.run = cavity(model).map(|c| c.id);
    model.face.marked_before.clone_from(&model.face.marks);
    extend_run(model);
    model.say("move to the other end of the run; every cavity between, by number, is marked");
}

/// While a run is being marked: everything between its start and the cursor, by number, beside what was marked before.
fn extend_run(model: &mut Model) {
    let (Some(from), Some(to)) = (model.face.run, cavity(model).map(|c| c.id)) else {
        return;
    };
    let Some(connector) = connector(model).map(|c| c.id) else {
        return;
    };
    let all: Vec<Id<Cavity>> = model.book.cavities_of(connector).iter().map(|c| c.id).collect();
    let place = |id| all.iter().position(|c| *c == id);
    if let (Some(a), Some(b)) = (place(from), place(to)) {
        let run: BTreeSet<Id<Cavity>> = all
            .get(a.min(b)..=a.max(b))
            .unwrap_or_default()
            .iter()
            .copied()
            .collect();
        model.face.marks = &run | &model.face.marked_before;
    }
}

/// Asks for the why of a decision on what is chosen.
pub fn decide(model: &mut Model, act: Do) {
    let decision = match act {
        Do::DecideWired => Decision::Wired,
        Do::DecideBlank => Decision::Blank,
        Do::DecideReserved => Decision::Reserved,
        Do::DecideNotOurs => Decision::NotOurs,
        _ => Decision::Undecided,
    };
    let chosen = chosen(model);
    let what = match chosen.as_slice() {
        [] => return,
        [one] => model.book.cavity_name(one.id),
        [first, ..] => format!(
            "{} of {} ({})",
            count(chosen.len(), "cavity", "cavities"),
            model.book.label_of(first.connector),
            runs(&chosen.iter().map(|c| c.number.as_str()).collect::<Vec<_>>())
        ),
    };
    let title = format!("{what}: {}. Why?", decision.words());
    let ids = chosen.iter().map(|c| c.id).collect();
    model
        .over
        .push(Over::Line(Line::new(title, line::Purpose::Decide(decision, ids))));
}

fn advance() -> Then {
    Then {
        close: true,
        go: None,
        advance: true,
    }
}

/// `3 to 7, 12` for numbers in a row.
fn runs(numbers: &[&str]) -> String {
    let mut said: Vec<(String, String)> = Vec::new();
    for number in numbers {
        let follows =
            |last: &str| matches!((last.parse::<u64>(), number.parse::<u64>()), (Ok(a), Ok(b)) if a + 1 == b);
        match said.last_mut() {
            Some((_, last)) if follows(last) => *last = (*number).to_owned(),
            _ => said.push(((*number).to_owned(), (*number).to_owned())),
        }
    }
    said.into_iter()
        .map(|(first, last)| {
            if first == last {
                first
            } else {
                format!("{first} to {last}")
            }
        })
        .collect::<Vec<_>>()
        .join(", ")
}

fn same_again(model: &mut Model) -> Vec<Effect> {
    let Some((decision, why)) = model.face.last.clone() else {
        return Vec::new();
    };
    let ids: Vec<Id<Cavity>> = chosen(model).iter().map(|c| c.id).collect();
    match make::decide(&model.book, &ids, decision, &why) {
        Ok(edit) => {
            model.face.deciding = Some(decision);
            vec![Effect::Commit(Box::new(edit), advance())]
        }
        Err(refusal) => {
            model.complain(refusal.to_string());
            Vec::new()
        }
    }
}

/// Bridges two marked cavities, or the marked one and the one under the cursor.
fn bridge(model: &mut Model) {
    let mut two = model.face.marks.clone();
    if two.len() < 2 {
        two.extend(cavity(model).map(|c| c.id));
    }
    let two: Vec<Id<Cavity>> = two.into_iter().collect();
    let [a, b] = two.as_slice() else {
        model.complain("a bridge joins two cavities: mark one, move to the other, then bridge");
        return;
    };
    let (name_a, name_b) = (model.book.cavity_name(*a), model.book.cavity_name(*b));
    let title = format!("Bridge {name_a} and {name_b}. Why?");
    model
        .over
        .push(Over::Line(Line::new(title, line::Purpose::Bridge(*a, *b))));
}

/// What a wire from the cursor starts with: it comes from a source, and goes to an input.
fn start(model: &Model) -> Start {
    let Some(cavity) = cavity(model) else {
        return Start::default();
    };
    let name = model.book.cavity_name(cavity.id);
    let source = cavity.kind.is_some_and(|k| k.is_source());
    Start {
        signal: cavity.name.to_lowercase(),
        from: if source { name.clone() } else { String::new() },
        to: if source { String::new() } else { name },
        ..Start::default()
    }
}

fn wire_from_here(model: &mut Model) {
    let there = cavity(model).and_then(|c| wire_at(model, c.id)).map(|w| w.id);
    let start = start(model);
    form::open(model, Purpose::Wire(there), &start);
}

/// A wire like the last one, at this cavity.
fn like_last_wire(model: &mut Model) -> Vec<Effect> {
    let Some(last) = last_wire(model).cloned() else {
        return Vec::new();
    };
    let Some(here) = cavity(model).cloned() else {
        return Vec::new();
    };
    if wire_at(model, here.id).is_some() {
        model.complain("this cavity has a wire; move to the next one");
        return Vec::new();
    }
    let connector_of = |end: End| match end {
        End::Cavity(id) => model.book.get(id).map(|c| c.connector),
        _ => None,
    };
    // The end that the last wire had in this connector moves here; its other end moves on as well.
    let here_is_from = connector_of(last.from) == Some(here.connector);
    let other = if here_is_from { last.to } else { last.from };
    let other = match other {
        End::Cavity(id) => next(model, id)
            .filter(|c| wire_at(model, c.id).is_none() && c.id != here.id)
            .map_or(End::Free, |c| End::Cavity(c.id)),
        end => end,
    };
    let at = End::Cavity(here.id);
    let (from, to) = if here_is_from { (at, other) } else { (other, at) };
    let draft = WireDraft {
        signal: if here.name.is_empty() {
            last.signal.clone()
        } else {
            here.name.to_lowercase()
        },
        from,
        to,
        ..WireDraft::make_of(&last)
    };
    match make::add_wire(&model.book, &mut model.ids, draft) {
        Ok(edit) => vec![Effect::Commit(Box::new(edit), advance())],
        Err(refusal) => {
            model.complain(refusal.to_string());
            Vec::new()
        }
    }
}

/// The wire with the highest number made last: ids grow within a run, labels across them.
fn last_wire(model: &Model) -> Option<&Wire> {
    let wires = model.book.all::<Wire>().values();
    wires.max_by_key(|w| crimpbook_workbook::book::natural(&w.label))
}

#[cfg(test)]
mod tests {
    use super::runs;

    #[test]
    fn numbers_in_a_row_are_said_as_a_run() {
        assert_eq!(runs(&["3", "4", "5", "9", "A1"]), "3 to 5, 9, A1");
    }
}
