//! One of the two copies: its records and its log.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    Book,
    log::{Entry, EntryHead, Hash},
    model::{ChangeId, Tables},
};

/// What a merge brought in: kept with its entry, so that the other copy's log can be told and verified later.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Merged {
    /// The hash that this log ended with before the merge.
    pub ours: String,
    /// The hash that the other log ended with.
    pub theirs: String,
    /// The other's entries that this log lacked, each as the text that was hashed there.
    pub entries: Vec<String>,
}

impl Merged {
    /// The heads of the entries brought in, for lists of changes; `seq` is the place of the merge. A release among them is
    /// told, but is no revision of this log.
    pub fn heads(&self, seq: u64) -> Vec<EntryHead> {
        let mut heads = Vec::new();
        for entry in self.read() {
            if let Some(merged) = &entry.merged {
                heads.extend(merged.heads(seq));
            }
            let head = entry.head(seq);
            heads.push(EntryHead {
                title: format!("brought in: {}", head.title),
                revision: None,
                ..head
            });
        }
        heads
    }

    /// The entries brought in, in order; a text that is no entry is left out.
    pub fn read(&self) -> impl Iterator<Item = Entry> {
        self.entries
            .iter()
            .filter_map(|body| crate::json::read(body).ok())
    }
}

/// A copy of the workbook.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// Its records.
    pub book: &'a Book,
    /// Its log: each entry with the text that was hashed, oldest first.
    pub log: &'a [(Entry, String)],
    /// Where its log ends.
    pub head: Hash,
}

impl Side<'_> {
    /// Its records.
    pub(super) fn tables(&self) -> &Tables {
        self.book.tables()
    }

    /// Its own entries and those that merges brought in, in the order in which they came.
    pub(super) fn entries(&self) -> Vec<Entry> {
        let mut all = Vec::new();
        for (entry, _) in self.log {
            spread(entry, &mut all);
        }
        all
    }

    /// Every change it holds.
    pub(super) fn ids(&self) -> BTreeSet<ChangeId> {
        self.entries().iter().map(|entry| entry.id).collect()
    }

    /// Whether both were made as one.
    pub(super) fn begins_as(&self, other: &Side<'_>) -> bool {
        let first = |side: &Side<'_>| side.log.first().map(|(entry, _)| entry.id);
        first(self).is_some() && first(self) == first(other)
    }

    /// The texts of its own entries that are not among `known`.
    pub(super) fn beyond(&self, known: &BTreeSet<ChangeId>) -> Vec<String> {
        self.log
            .iter()
            .filter(|(entry, _)| !known.contains(&entry.id))
            .map(|(_, body)| body.clone())
            .collect()
    }
}

/// What a merge brought in stands before the merge itself.
fn spread(entry: &Entry, into: &mut Vec<Entry>) {
    for brought in entry.merged.iter().flat_map(|merged| merged.read()) {
        spread(&brought, into);
    }
    into.push(entry.clone());
}
