//! What can be there only once: a label of a kind, a number in a connector, the answer for a build step.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{
    base,
    choice::{Conflict, Desk, Keeps},
    fields::{name, one_step},
};
use crate::{
    book::unique_label,
    model::{Key, Kind, Record, Tables},
};

/// Settles what both copies put in the same place.
pub(super) fn settle(desk: &mut Desk<'_>, merged: &mut Tables) {
    let mut places: BTreeMap<(Kind, String), Vec<Key>> = BTreeMap::new();
    merged.each(&mut |record| {
        if let Some(place) = place(&record) {
            places.entry(place).or_default().push(record.key());
        }
    });
    for (place, keys) in places {
        let [one, other] = keys.as_slice() else { continue };
        let (mine, theirs) = if holds(desk.ours.tables(), *one, &place) {
            (*one, *other)
        } else {
            (*other, *one)
        };
        if desk.waits(mine) || desk.waits(theirs) {
            continue;
        }
        if place.0 == Kind::StepDone {
            twice_answered(desk, merged, mine, theirs);
        } else {
            twice_named(desk, merged, mine, theirs);
        }
    }
}

/// Where there is room for one only.
fn place(record: &Record) -> Option<(Kind, String)> {
    let key = record.key();
    match record {
        Record::StepDone(step) => Some((key.kind, format!("{:?} {:?}", step.of, step.step))),
        Record::Cavity(cavity) => Some((
            key.kind,
            format!("{} {}", cavity.connector, cavity.number.to_lowercase()),
        )),
        record if unique_label(record) => Some((key.kind, record.label().to_lowercase())),
        _ => None,
    }
}

fn holds(tables: &Tables, key: Key, at: &(Kind, String)) -> bool {
    tables.get(key).and_then(|record| place(&record)).as_ref() == Some(at)
}

fn twice_answered(desk: &mut Desk<'_>, merged: &mut Tables, mine: Key, theirs: Key) {
    let (Some(Record::StepDone(one)), Some(Record::StepDone(two))) = (merged.get(mine), merged.get(theirs))
    else {
        return;
    };
    let kept = one_step(desk, one, two);
    let gone = if Key::of(kept.id) == mine { theirs } else { mine };
    merged.remove(gone);
    merged.put(Record::StepDone(kept));
}

fn twice_named(desk: &mut Desk<'_>, merged: &mut Tables, mine: Key, theirs: Key) {
    let (Some(one), Some(two)) = (merged.get(mine), merged.get(theirs)) else {
        return;
    };
    let name_of = |record: &Record| match record {
        Record::Cavity(cavity) => cavity.number.clone(),
        record => record.label().to_owned(),
    };
    let called = name_of(&one);
    let conflict = Conflict {
        name: format!("{}.label", name(desk.ours.book, mine)),
        what: format!(
            "two of one name: {} in both copies; the one that loses it gets another",
            desk.ours.book.name_of(mine)
        ),
        mine: format!("this copy's keeps {called}"),
        theirs: format!("the other copy's keeps {called}"),
        ..Conflict::default()
    };
    let loser = match desk.lay(conflict, (mine, theirs)) {
        Keeps::Mine => two,
        Keeps::Theirs => one,
    };
    if let Some(renamed) = another_name(merged, &loser, &name_of(&loser)) {
        merged.put(renamed);
    }
}

/// The record under the next name that is free.
fn another_name(merged: &Tables, record: &Record, called: &str) -> Option<Record> {
    let field = if record.key().kind == Kind::Cavity {
        "number"
    } else {
        "label"
    };
    let mut taken = std::collections::BTreeSet::new();
    merged.each(&mut |other| {
        taken.extend(place(&other));
    });
    (2..).find_map(|n| {
        let mut fields = base::fields(record)?;
        fields.insert(field.to_owned(), Value::String(format!("{called}-{n}")));
        let renamed = base::record(record.key().kind, fields)?;
        let free = place(&renamed).is_some_and(|place| !taken.contains(&place));
        (free || n > 1000).then_some(renamed)
    })
}
