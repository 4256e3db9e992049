//! Several edits that were tried, made one.

use super::{Change, Edit, lapse};
use crate::{
    Book,
    log::Entry,
    model::{Key, Kind},
};

/// Titles told of the edits; the rest is counted.
const MOST_TITLES: usize = 3;

/// What entries that were tried one after the other come to as one edit, from the book before the first to the book after
/// the last. What only followed (steps to be redone, readings that lapse) is left out: the door adds it anew.
pub fn together(before: &Book, after: &Book, entries: &[Entry]) -> Edit {
    let mut keys: Vec<Key> = Vec::new();
    for key in entries.iter().flat_map(|e| &e.changes).filter_map(Change::key) {
        if !matches!(key.kind, Kind::StepDone | Kind::Reading) && !keys.contains(&key) {
            keys.push(key);
        }
    }
    let net = keys.into_iter().map(|key| Change {
        before: before.tables().get(key),
        after: after.tables().get(key),
    });
    let changes = net.filter(|change| change.before != change.after && !lapse::is_lapse(change));
    let titles: Vec<&str> = entries.iter().map(|e| e.title.as_str()).collect();
    let mut title = titles
        .iter()
        .take(MOST_TITLES)
        .copied()
        .collect::<Vec<_>>()
        .join("; ");
    if titles.len() > MOST_TITLES {
        title.push_str(&format!("; and {} more", titles.len() - MOST_TITLES));
    }
    let mut whys: Vec<&str> = Vec::new();
    for why in entries.iter().map(|e| e.why.trim()) {
        if !why.is_empty() && !whys.contains(&why) {
            whys.push(why);
        }
    }
    Edit::design(title, changes.collect()).because(whys.join("; "))
}
