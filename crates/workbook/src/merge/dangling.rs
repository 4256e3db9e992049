//! References that lead nowhere: one copy removed what the other still needs.

use std::collections::BTreeMap;

use super::{
    choice::{Conflict, Desk, Keeps},
    fields::{name, told},
};
use crate::model::{Key, Kind, Record, RecordRef, Tables};

/// Settles every reference that leads nowhere; each turn puts back or takes out one record at least.
pub(super) fn settle(desk: &mut Desk<'_>, merged: &mut Tables) {
    // What a choice took out takes with it what hangs on it, without being asked again.
    let mut out: BTreeMap<Key, ()> = BTreeMap::new();
    let most = merged.len() * 2 + 16;
    for _ in 0..most {
        let Some((user, missing)) = first(merged, &|key| desk.waits(key)) else {
            return;
        };
        let mine_has = desk.ours.tables().has(missing);
        let (has, lacks) = if mine_has {
            (desk.ours, desk.theirs)
        } else {
            (desk.theirs, desk.ours)
        };
        if out.contains_key(&missing) || !has.tables().has(missing) {
            out.insert(user, ());
            fall_to_what_holds(desk, merged, user);
            continue;
        }
        let removed = "removed".to_owned();
        let needed = format!("needed by {}", told(has.book, user));
        let (mine, theirs) = if mine_has {
            (needed, removed)
        } else {
            (removed, needed)
        };
        let conflict = Conflict {
            name: name(has.book, missing),
            what: format!(
                "{} was removed in one copy, and {} in the other needs it",
                told(has.book, missing),
                told(has.book, user)
            ),
            mine,
            theirs,
            ..Conflict::default()
        };
        let about = if mine_has {
            (user, missing)
        } else {
            (missing, user)
        };
        let restores = (desk.lay(conflict, about) == Keeps::Mine) == mine_has;
        if restores {
            if let Some(record) = has.tables().get(missing) {
                merged.put(record);
            }
        } else {
            out.insert(missing, ());
            match lacks.tables().get(user) {
                Some(record) => merged.put(record),
                None => {
                    out.insert(user, ());
                    merged.remove(user);
                }
            }
        }
    }
}

/// The record as the copy has it whose references all hold; neither: it goes.
fn fall_to_what_holds(desk: &Desk<'_>, merged: &mut Tables, user: Key) {
    let versions = [desk.ours.tables().get(user), desk.theirs.tables().get(user)];
    let holds = |record: &Record| missing(merged, record.as_ref()).is_none();
    match versions.into_iter().flatten().find(holds) {
        Some(record) => merged.put(record),
        None => merged.remove(user),
    }
}

/// The first record that names one that is not there, and which.
fn first(tables: &Tables, skip: &dyn Fn(Key) -> bool) -> Option<(Key, Key)> {
    let mut found = None;
    for kind in Kind::ALL {
        tables.each_ref(*kind, &mut |record| {
            if found.is_none() && !skip(record.key()) {
                found = missing(tables, record).map(|missing| (record.key(), missing));
            }
        });
    }
    found
}

fn missing(tables: &Tables, record: RecordRef<'_>) -> Option<Key> {
    let mut missing = None;
    record.refs(&mut |reference| {
        if missing.is_none() && !tables.has(reference.key) {
            missing = Some(reference.key);
        }
    });
    missing
}
