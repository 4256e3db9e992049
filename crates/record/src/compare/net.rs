//! What several entries come to.

use std::collections::HashMap;

use crimpbook_workbook::{
    edit::Change,
    log::Entry,
    model::{Key, Kind},
};

/// What entries one after the other come to: each record as it was before the first and as it is after the last.
/// Build steps, readings and trials are left out unless `ticks`.
pub fn net(entries: &[Entry], ticks: bool) -> Vec<Change> {
    let mut order: Vec<Key> = Vec::new();
    let mut by_key: HashMap<Key, Change> = HashMap::new();
    for change in entries.iter().flat_map(|e| &e.changes) {
        let Some(key) = change.key() else { continue };
        if !ticks && matches!(key.kind, Kind::StepDone | Kind::Reading | Kind::Trial) {
            continue;
        }
        match by_key.get_mut(&key) {
            Some(known) => known.after.clone_from(&change.after),
            None => {
                order.push(key);
                by_key.insert(key, change.clone());
            }
        }
    }
    order
        .into_iter()
        .filter_map(|key| by_key.remove(&key))
        .filter(|change| change.before != change.after)
        .collect()
}
