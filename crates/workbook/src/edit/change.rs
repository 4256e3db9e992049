//! An edit: pairs of records before and after, with a title and a why.

use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    log::EntryKind,
    merge::Merged,
    model::{ChangeId, Key, Record, Row},
};

/// A record before and after. Only `after`: it is made; only `before`: it is removed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// The record as it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<Record>,
    /// The record as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Record>,
}

impl Change {
    /// Makes a record.
    pub fn make(row: impl Row) -> Self {
        Self {
            before: None,
            after: Some(row.into_record()),
        }
    }

    /// Removes a record.
    pub fn remove(row: impl Row) -> Self {
        Self {
            before: Some(row.into_record()),
            after: None,
        }
    }

    /// Puts `after` in place of `before`.
    pub fn replace<R: Row>(before: R, after: R) -> Self {
        Self {
            before: Some(before.into_record()),
            after: Some(after.into_record()),
        }
    }

    /// The record's key; none if the pair is empty.
    pub fn key(&self) -> Option<Key> {
        self.after.as_ref().or(self.before.as_ref()).map(Record::key)
    }

    /// The pair swapped.
    pub fn swapped(self) -> Self {
        Self {
            before: self.after,
            after: self.before,
        }
    }
}

/// A list of changes that hold together.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// What kind of entry it becomes.
    pub kind: EntryKind,
    /// In one line.
    pub title: String,
    /// Why; asked for after the first release where a cavity or wire changes.
    pub why: String,
    /// The pairs.
    pub changes: Vec<Change>,
    /// The entry it undoes or redoes.
    pub of: Option<ChangeId>,
    /// Revision letter, for a release.
    pub revision: Option<String>,
    /// What a merge brings in.
    pub merged: Option<Box<Merged>>,
}

impl Edit {
    /// A change of the plan.
    pub fn design(title: impl Into<String>, changes: Vec<Change>) -> Self {
        Self::new(EntryKind::Design, title, changes)
    }

    /// A build step ticked, failed, skipped or taken back.
    pub fn progress(title: impl Into<String>, changes: Vec<Change>) -> Self {
        Self::new(EntryKind::Progress, title, changes)
    }

    /// An edit of any kind.
    pub fn new(kind: EntryKind, title: impl Into<String>, changes: Vec<Change>) -> Self {
        Self {
            kind,
            title: title.into(),
            why: String::new(),
            changes,
            of: None,
            revision: None,
            merged: None,
        }
    }

    /// With its why.
    #[must_use]
    pub fn because(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }
}

/// Who does it, when, and under which id: what the door cannot know by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    /// Id of the entry.
    pub id: ChangeId,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
}
