//! A cavity that both copies filled: with two wires, or with a wire here and nothing on purpose there.

use super::{
    Side,
    choice::{Conflict, Desk, Keeps},
    fields::{name, told},
};
use crate::model::{Cavity, Decision, End, Id, Key, Record, Tables, Wire};

/// Settles cavities that were taken twice.
pub(super) fn settle(desk: &mut Desk<'_>, merged: &mut Tables, bases: &(Tables, Tables)) {
    let cavities: Vec<Id<Cavity>> = merged.cavities.keys().copied().collect();
    for cavity in cavities {
        let there = ending(merged, cavity);
        if there.is_empty() {
            continue;
        }
        let was = ending(&bases.0, cavity);
        let new = |tables: &Tables| -> Vec<Id<Wire>> {
            let now = ending(tables, cavity);
            now.into_iter()
                .filter(|wire| !was.contains(wire) && there.contains(wire) && !desk.waits(Key::of(*wire)))
                .collect()
        };
        let (mut mine, mut theirs) = (new(desk.ours.tables()), new(desk.theirs.tables()));
        // A wire that both put there is one wire.
        let both: Vec<Id<Wire>> = mine
            .iter()
            .filter(|wire| theirs.contains(wire))
            .copied()
            .collect();
        mine.retain(|wire| !both.contains(wire));
        theirs.retain(|wire| !both.contains(wire));
        if let (Some(one), Some(other)) = (mine.first(), theirs.first()) {
            two_wires(desk, merged, cavity, (*one, &mine), (*other, &theirs));
        }
        empty_on_purpose(desk, merged, cavity);
    }
}

fn ending(tables: &Tables, cavity: Id<Cavity>) -> Vec<Id<Wire>> {
    let at = |wire: &&Wire| [wire.from, wire.to].contains(&End::Cavity(cavity));
    tables.wires.values().filter(at).map(|wire| wire.id).collect()
}

fn two_wires(
    desk: &mut Desk<'_>,
    merged: &mut Tables,
    cavity: Id<Cavity>,
    (one, mine): (Id<Wire>, &[Id<Wire>]),
    (other, theirs): (Id<Wire>, &[Id<Wire>]),
) {
    let key = Key::of(cavity);
    let (here, there) = (desk.ours.book, desk.theirs.book);
    let book = if here.tables().has(key) { here } else { there };
    let conflict = Conflict {
        name: name(book, key),
        what: format!(
            "{} got a wire in each copy; the one that loses it ends free",
            told(book, key)
        ),
        mine: told(here, Key::of(one)),
        theirs: told(there, Key::of(other)),
        ..Conflict::default()
    };
    let losers = match desk.lay(conflict, (Key::of(one), Key::of(other))) {
        Keeps::Mine => theirs,
        Keeps::Theirs => mine,
    };
    for wire in losers {
        free(merged, *wire, cavity);
    }
}

/// Takes a wire out of a cavity.
fn free(merged: &mut Tables, wire: Id<Wire>, cavity: Id<Cavity>) {
    if let Some(wire) = merged.wires.get_mut(&wire) {
        for end in [&mut wire.from, &mut wire.to] {
            if *end == End::Cavity(cavity) {
                *end = End::Free;
            }
        }
    }
}

/// One copy decided that nothing goes in, the other put a wire there.
fn empty_on_purpose(desk: &mut Desk<'_>, merged: &mut Tables, cavity: Id<Cavity>) {
    let empty = |cavity: &Cavity| !matches!(cavity.decision, Decision::Wired | Decision::Undecided);
    let wires = ending(merged, cavity);
    let (Some(row), Some(wire)) = (merged.cavities.get(&cavity).cloned(), wires.first()) else {
        return;
    };
    // Where one copy says both by itself, nothing came of bringing them together: a check tells of that.
    let says_both = |side: &Side<'_>| {
        let decided = side.tables().cavities.get(&cavity);
        decided.is_some_and(empty) && !ending(side.tables(), cavity).is_empty()
    };
    if says_both(desk.ours) || says_both(desk.theirs) {
        return;
    }
    if !empty(&row) || desk.waits(Key::of(cavity)) || desk.waits(Key::of(*wire)) {
        return;
    }
    let of = |tables: &Tables| tables.cavities.get(&cavity).cloned();
    let (mine, theirs) = (of(desk.ours.tables()), of(desk.theirs.tables()));
    let mine_empty = mine.as_ref().is_some_and(empty);
    let key = Key::of(cavity);
    let decided = row.decision.words().to_owned();
    let here = if mine_empty {
        desk.theirs.book
    } else {
        desk.ours.book
    };
    let filled = told(here, Key::of(*wire));
    let conflict = Conflict {
        name: name(
            if mine.is_some() {
                desk.ours.book
            } else {
                desk.theirs.book
            },
            key,
        ),
        what: format!(
            "{} is {decided} in one copy and has a wire in the other",
            told(here, key)
        ),
        mine: if mine_empty {
            decided.clone()
        } else {
            filled.clone()
        },
        theirs: if mine_empty { filled } else { decided },
        ..Conflict::default()
    };
    let about = if mine_empty {
        (key, Key::of(*wire))
    } else {
        (Key::of(*wire), key)
    };
    let keeps_mine = desk.lay(conflict, about) == Keeps::Mine;
    if keeps_mine == mine_empty {
        for wire in wires {
            free(merged, wire, cavity);
        }
        return;
    }
    let other = if mine_empty { theirs } else { mine };
    let mut row = row;
    row.decision = other.map_or(Decision::Wired, |other| other.decision);
    merged.put(Record::Cavity(row));
}
