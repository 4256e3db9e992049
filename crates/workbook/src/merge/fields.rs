//! Field by field: what only one copy changed is taken, what both changed differently is laid on the desk.

use serde_json::{Map, Value};

use super::{
    base,
    choice::{Conflict, Desk, Keeps},
    keys,
};
use crate::{
    Book,
    model::{Key, Kind, Outcome, Record, StepDone, Tables},
};

/// What the two bases of a field say of it.
enum Took {
    Mine,
    Theirs,
    Both,
}

/// Who changed a value, held against the base of either log. Where those differ, after both copies were merged with each
/// other before, neither is believed.
fn took<T: PartialEq>(mine: &T, theirs: &T, bases: (&T, &T)) -> Took {
    if mine == theirs {
        return Took::Mine;
    }
    if bases.0 != bases.1 {
        return Took::Both;
    }
    if mine == bases.0 {
        Took::Theirs
    } else if theirs == bases.0 {
        Took::Mine
    } else {
        Took::Both
    }
}

/// Every record of both copies, merged.
pub(super) fn merge(desk: &mut Desk<'_>, bases: &(Tables, Tables)) -> Tables {
    let (ours, theirs) = (desk.ours.tables().clone(), desk.theirs.tables().clone());
    let mut merged = ours.clone();
    for key in keys(&ours, &theirs) {
        let (mine, other) = (ours.get(key), theirs.get(key));
        let base = (bases.0.get(key), bases.1.get(key));
        let result = match took(&mine, &other, (&base.0, &base.1)) {
            Took::Mine => mine,
            Took::Theirs => other,
            Took::Both => both(desk, key, mine, other, base),
        };
        match result {
            Some(record) => merged.put(record),
            None => merged.remove(key),
        }
    }
    merged
}

/// Both copies changed the record.
fn both(
    desk: &mut Desk<'_>,
    key: Key,
    mine: Option<Record>,
    other: Option<Record>,
    base: (Option<Record>, Option<Record>),
) -> Option<Record> {
    match (mine, other) {
        (Some(Record::StepDone(mine)), Some(Record::StepDone(other))) => {
            Some(Record::StepDone(one_step(desk, mine, other)))
        }
        (Some(mine), Some(other)) => {
            let fields = |record: &Option<Record>| record.as_ref().and_then(base::fields).unwrap_or_default();
            let (one, two) = (fields(&Some(mine.clone())), fields(&Some(other)));
            let (from, to) = (fields(&base.0), fields(&base.1));
            let all = fields_merged(desk, key, (&one, &two), (&from, &to));
            Some(base::record(key.kind, all).unwrap_or(mine))
        }
        // One removed what the other changed.
        (mine, other) => {
            let gone = |record: &Option<Record>| match record {
                Some(_) => "changed".to_owned(),
                None => "removed".to_owned(),
            };
            let book = if mine.is_some() {
                desk.ours.book
            } else {
                desk.theirs.book
            };
            let conflict = Conflict {
                name: name(book, key),
                what: format!(
                    "{} was removed in one copy and changed in the other",
                    told(book, key)
                ),
                mine: gone(&mine),
                theirs: gone(&other),
                ..Conflict::default()
            };
            match desk.lay(conflict, (key, key)) {
                Keeps::Mine => mine,
                Keeps::Theirs => other,
            }
        }
    }
}

fn fields_merged(
    desk: &mut Desk<'_>,
    key: Key,
    (mine, other): (&Map<String, Value>, &Map<String, Value>),
    base: (&Map<String, Value>, &Map<String, Value>),
) -> Map<String, Value> {
    let mut merged = Map::new();
    let mut names: Vec<&String> = mine.keys().chain(other.keys()).collect();
    names.sort();
    names.dedup();
    for field in names {
        let (one, two) = (mine.get(field), other.get(field));
        let value = match took(&one, &two, (&base.0.get(field), &base.1.get(field))) {
            Took::Mine => one,
            Took::Theirs => two,
            // Lapses are sentences of the program; what both say is said anew by `redo`.
            Took::Both if field == "lapsed" => one.max_by_text(two),
            Took::Both => {
                let conflict = Conflict {
                    name: format!("{}.{field}", name(desk.ours.book, key)),
                    what: format!("{}: {}", desk.ours.book.name_of(key), field.replace('_', " ")),
                    mine: words(desk.ours.book, one),
                    theirs: words(desk.theirs.book, two),
                    ..Conflict::default()
                };
                match desk.lay(conflict, (key, key)) {
                    Keeps::Mine => one,
                    Keeps::Theirs => two,
                }
            }
        };
        if let Some(value) = value {
            merged.insert(field.clone(), value.clone());
        }
    }
    merged
}

/// The value that is there, or the one that reads later: the same from either side.
trait ByText {
    fn max_by_text(self, other: Self) -> Self;
}

impl ByText for Option<&Value> {
    fn max_by_text(self, other: Self) -> Self {
        let text = |value: Option<&Value>| value.filter(|v| !v.is_null()).map(ToString::to_string);
        if text(self) >= text(other) { self } else { other }
    }
}

/// One step answered for in both copies: the later answer, where they agree on what came of it.
pub(super) fn one_step(desk: &mut Desk<'_>, mine: StepDone, other: StepDone) -> StepDone {
    let later = |mine: StepDone, other: StepDone| {
        let rank = |step: &StepDone| (step.at, std::cmp::Reverse(step.id));
        // One answer that fell back in both copies: the sentence is said anew by `redo`.
        let redo = mine.redo.clone().max(other.redo.clone());
        let one_answer = rank(&mine) == rank(&other);
        let mut kept = if rank(&mine) >= rank(&other) { mine } else { other };
        if one_answer {
            kept.redo = redo;
        }
        kept
    };
    if mine.outcome == other.outcome {
        return later(mine, other);
    }
    let key = Key::of(mine.id);
    let said = |step: &StepDone| {
        let note = if step.note.is_empty() {
            String::new()
        } else {
            format!(" ({})", step.note)
        };
        let outcome = match step.outcome {
            Outcome::Done => "done",
            Outcome::Failed => "failed",
            Outcome::Skipped => "skipped",
        };
        format!("{outcome}{note}")
    };
    let conflict = Conflict {
        name: name(desk.ours.book, key),
        what: format!("{} was answered for in both copies", told(desk.ours.book, key)),
        mine: said(&mine),
        theirs: said(&other),
        ..Conflict::default()
    };
    let about = (Key::of(mine.id), Key::of(other.id));
    match desk.lay(conflict, about) {
        Keeps::Mine => mine,
        Keeps::Theirs => other,
    }
}

/// What a conflict about a record is called (`wire.W44`).
pub(super) fn name(book: &Book, key: Key) -> String {
    let label = match key.kind {
        Kind::Cavity => key.as_id().map(|id| book.cavity_name(id)),
        Kind::StepDone => {
            step(book, key).map(|step| format!("{} {}", book.built_name(step.of), step.step.words()))
        }
        _ => book.tables().get_ref(key).map(|record| record.label().to_owned()),
    };
    let label = label
        .filter(|l| !l.is_empty())
        .unwrap_or_else(|| key.id.to_string());
    format!("{}.{}", spelled(key.kind.title()), spelled(&label))
}

/// The record in words.
pub(super) fn told(book: &Book, key: Key) -> String {
    match step(book, key) {
        Some(step) => format!("step \"{}\" of {}", step.step.words(), book.built_name(step.of)),
        None => book.name_of(key),
    }
}

fn step(book: &Book, key: Key) -> Option<&StepDone> {
    key.as_id::<StepDone>().and_then(|id| book.get(id))
}

/// Words that a shell takes as one.
pub(super) fn spelled(words: &str) -> String {
    let plain = |c: char| if c.is_whitespace() { '-' } else { c };
    words.replace('\'', "").chars().map(plain).collect()
}

/// A value as a person reads it: ids by name.
fn words(book: &Book, value: Option<&Value>) -> String {
    match value {
        None | Some(Value::Null) => "nothing".to_owned(),
        Some(Value::String(text)) => named(book, text).unwrap_or_else(|| text.clone()),
        Some(Value::Object(map)) => {
            let parts = map
                .iter()
                .map(|(name, value)| format!("{} {}", name.replace('_', " "), words(book, Some(value))));
            parts.collect::<Vec<_>>().join(", ")
        }
        Some(Value::Array(all)) => {
            let parts: Vec<String> = all.iter().map(|value| words(book, Some(value))).collect();
            parts.join(", ")
        }
        Some(other) => other.to_string(),
    }
}

/// The record whose id this is.
fn named(book: &Book, text: &str) -> Option<String> {
    let id: crate::model::Id<crate::model::AnyRow> = text.parse().ok()?;
    let key = Kind::ALL
        .iter()
        .map(|kind| Key { kind: *kind, id })
        .find(|key| book.tables().has(*key))?;
    Some(book.name_of(key))
}
