//! The history of settings, read from the log's entries one after the other.

use std::collections::{BTreeMap, HashMap};

use chrono::{DateTime, Utc};

use crate::{
    edit::Change,
    log::{Entry, EntryHead, EntryKind},
    model::{Id, Key, Record, Setting},
};

/// A setting at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Place of the entry in the log.
    pub seq: u64,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// Its value with its unit; none: it was removed.
    pub value: Option<String>,
    /// Whether the value changed, and not another field of it.
    pub turned: bool,
    /// Why.
    pub why: String,
}

/// A setting as it was left at a release.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    /// Its label then.
    pub label: String,
    /// Its value with its unit.
    pub value: String,
}

/// Every setting as it was left at a release: nothing that comes later changes it, since the log is not rewritten.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsLeft {
    /// The revision's letter.
    pub revision: String,
    /// When it was released.
    pub at: DateTime<Utc>,
    /// The settings.
    pub settings: BTreeMap<Id<Setting>, Left>,
}

/// When, who and why: of a merge, those of the other copy's last entry that touched the setting; undoing says what it undid.
fn said(entry: &Entry, id: Id<Setting>) -> (DateTime<Utc>, String, String) {
    let brought: Vec<Entry> = entry
        .merged
        .as_ref()
        .map_or_else(Vec::new, |merged| merged.read().collect());
    let touches = |other: &&Entry| {
        other
            .changes
            .iter()
            .filter_map(Change::key)
            .any(|key| key == Key::of(id))
    };
    let of = brought.iter().rfind(touches).unwrap_or(entry);
    let why = if of.why.is_empty() && matches!(of.kind, EntryKind::Undo | EntryKind::Redo) {
        of.title.clone()
    } else {
        of.why.clone()
    };
    (of.at, of.who.clone(), why)
}

/// What became of every setting, entry by entry.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Past {
    /// The last entry taken in.
    pub upto: u64,
    now: BTreeMap<Id<Setting>, Left>,
    moments: HashMap<Id<Setting>, Vec<Moment>>,
    /// What was left at each release, oldest first.
    pub revisions: Vec<AsLeft>,
}

impl Past {
    /// Whether an entry of this kind may touch a setting: those of building and measuring do not.
    pub fn concerns(head: &EntryHead) -> bool {
        !matches!(
            head.kind,
            EntryKind::Progress | EntryKind::Reading | EntryKind::Trial
        )
    }

    /// Takes in the next entry; those of the log have to come in their order.
    pub fn take(&mut self, seq: u64, entry: &Entry) {
        self.upto = seq;
        for change in &entry.changes {
            self.change(seq, entry, change);
        }
        if let Some(revision) = &entry.revision {
            self.revisions.push(AsLeft {
                revision: revision.clone(),
                at: entry.at,
                settings: self.now.clone(),
            });
        }
    }

    fn change(&mut self, seq: u64, entry: &Entry, change: &Change) {
        let setting = |record: &Option<Record>| match record {
            Some(Record::Setting(row)) => Some(row.clone()),
            _ => None,
        };
        let (before, after) = (setting(&change.before), setting(&change.after));
        let Some(id) = after.as_ref().or(before.as_ref()).map(|row| row.id) else {
            return;
        };
        let value = after.as_ref().map(Setting::shown);
        let turned = value != before.as_ref().map(Setting::shown);
        let (at, who, why) = said(entry, id);
        self.moments.entry(id).or_default().push(Moment {
            seq,
            at,
            who,
            value: value.clone(),
            turned,
            why,
        });
        match (after, value) {
            (Some(row), Some(value)) => {
                self.now.insert(
                    id,
                    Left {
                        label: row.label,
                        value,
                    },
                );
            }
            _ => {
                self.now.remove(&id);
            }
        }
    }

    /// What became of a setting, oldest first.
    pub fn of(&self, setting: Id<Setting>) -> &[Moment] {
        self.moments.get(&setting).map_or(&[], Vec::as_slice)
    }

    /// The settings as they were left at a revision.
    pub fn left(&self, revision: &str) -> Option<&AsLeft> {
        self.revisions
            .iter()
            .rfind(|left| left.revision.eq_ignore_ascii_case(revision))
    }
}
