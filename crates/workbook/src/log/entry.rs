//! One entry of the log.

use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{edit::Change, merge::Merged, model::ChangeId};

/// Schema number written into every entry; old ones are lifted on reading, never rewritten.
pub const ENTRY_SCHEMA: u32 = 1;

/// An entry: what was, what is, who, when, why.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Schema number of this entry.
    pub schema: u32,
    /// Id, unique across laptops.
    pub id: ChangeId,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// What kind of entry.
    pub kind: EntryKind,
    /// In one line (`W44: size 0.35 → 0.5 mm²`).
    pub title: String,
    /// Why; may be empty before the first release.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// The entry this one undoes or redoes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<ChangeId>,
    /// The revision letter, for a release.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<String>,
    /// Records before and after.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Change>,
    /// What a merge brought in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub merged: Option<Box<Merged>>,
}

/// What kind of entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum EntryKind {
    /// The workbook was made.
    Creation,
    /// Something was brought in from a file.
    Import,
    /// The plan was changed.
    Design,
    /// A build step was ticked, failed, skipped or taken back.
    Progress,
    /// A reading was taken.
    Reading,
    /// A trial was driven.
    Trial,
    /// A revision was released for building.
    Release,
    /// An entry was undone.
    Undo,
    /// An undone entry was done again.
    Redo,
    /// Another laptop's copy was merged in.
    Merge,
}

impl EntryKind {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Creation => "made",
            Self::Import => "import",
            Self::Design => "change",
            Self::Progress => "build",
            Self::Reading => "reading",
            Self::Trial => "trial",
            Self::Release => "release",
            Self::Undo => "undo",
            Self::Redo => "redo",
            Self::Merge => "merge",
        }
    }
}

/// An entry without its records: what lists and undo need.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryHead {
    /// Place in the log, from 1.
    pub seq: u64,
    /// Id.
    pub id: ChangeId,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// What kind.
    pub kind: EntryKind,
    /// In one line.
    pub title: String,
    /// Why.
    pub why: String,
    /// The entry it undoes or redoes.
    pub of: Option<ChangeId>,
    /// Revision letter of a release.
    pub revision: Option<String>,
}

impl Entry {
    /// The head of this entry at place `seq`.
    pub fn head(&self, seq: u64) -> EntryHead {
        EntryHead {
            seq,
            id: self.id,
            at: self.at,
            who: self.who.clone(),
            kind: self.kind,
            title: self.title.clone(),
            why: self.why.clone(),
            of: self.of,
            revision: self.revision.clone(),
        }
    }
}
