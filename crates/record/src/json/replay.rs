//! From a document to the entries that make its workbook.

use std::collections::HashSet;

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Refusal, Stamp},
    log::{Entry, EntryKind, Hash, link},
    model::{Key, Record, RecordLists, Tables},
};

use super::Interchange;

/// Why a document that reads well makes no workbook.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FollowError {
    /// A row is not valid, or names one that is not there.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// A row stands twice.
    #[error("{what} stands twice in \"records\" with the id {id}: give one of them another id")]
    Twice {
        /// The row in words.
        what: String,
        /// Its id.
        id: String,
    },
    /// An entry does not fit on the ones before it.
    #[error("entry {seq} of \"log\" ({title}) does not fit on the ones before it: {why}")]
    Broken {
        /// Its place, from 1.
        seq: usize,
        /// Its title.
        title: String,
        /// Why.
        why: String,
    },
    /// Rows and log tell different things.
    #[error(
        "{what} is not in \"records\" as \"log\" leaves it: export again, or take out \"log\" and \"head\" to begin a new log with these rows"
    )]
    RowsDiffer {
        /// The first row that differs.
        what: String,
    },
    /// The log was altered.
    #[error("\"log\" does not lead to the hash in \"head\": an entry was altered, added or lost")]
    HeadDiffers,
}

impl Interchange {
    /// The entries that make this workbook on an empty one: those of the log, or, where there is none, one that creates all
    /// rows, stamped with `stamp`.
    ///
    /// The log is replayed and must lead to the rows; rows are checked as any edit is.
    ///
    /// # Errors
    /// A sentence that names the row or entry; see [`FollowError`].
    pub fn into_entries(self, stamp: Stamp) -> Result<Vec<Entry>, FollowError> {
        let rows = table_of(self.records)?;
        let mut changes = Vec::new();
        rows.each(&mut |record| {
            changes.push(Change {
                before: None,
                after: Some(record),
            });
        });
        let title = format!("made from a file with {} records", rows.len());
        let creation = Book::default().prepare(Edit::new(EntryKind::Creation, title, changes), stamp)?;
        if self.log.is_empty() {
            return Ok(vec![creation]);
        }
        follow(&self.log, &rows)?;
        if self
            .head
            .is_some_and(|head| head != head_of(&self.log).to_string())
        {
            return Err(FollowError::HeadDiffers);
        }
        Ok(self.log)
    }
}

fn table_of(records: RecordLists) -> Result<Tables, FollowError> {
    let mut tables = Tables::default();
    for record in records.into_records() {
        let key = record.key();
        if tables.has(key) {
            return Err(FollowError::Twice {
                what: words(&record),
                id: key.id.to_string(),
            });
        }
        tables.put(record);
    }
    Ok(tables)
}

/// Replays the log on empty tables and compares with `rows`. Tables are changed without their indexes, which a long log
/// would make anew for each entry.
fn follow(log: &[Entry], rows: &Tables) -> Result<(), FollowError> {
    let mut tables = Tables::default();
    let mut seen = HashSet::new();
    for (seq, entry) in (1..).zip(log) {
        let broken = |why: String| FollowError::Broken {
            seq,
            title: entry.title.clone(),
            why,
        };
        if !seen.insert(entry.id) {
            return Err(broken(format!("its id {} stood before", entry.id)));
        }
        for change in &entry.changes {
            let key = change
                .key()
                .ok_or_else(|| broken("a change has neither before nor after".to_owned()))?;
            if change.before.as_ref().is_some_and(|before| before.key() != key) {
                return Err(broken("before and after are not the same record".to_owned()));
            }
            if tables.get(key) != change.before {
                return Err(broken(format!("{} was not so before", name(&tables, rows, key))));
            }
            match &change.after {
                Some(after) => tables.put(after.clone()),
                None => tables.remove(key),
            }
        }
    }
    match first_difference(&tables, rows) {
        None => Ok(()),
        Some(key) => Err(FollowError::RowsDiffer {
            what: name(&tables, rows, key),
        }),
    }
}

fn first_difference(log: &Tables, rows: &Tables) -> Option<Key> {
    if log == rows {
        return None;
    }
    let mut first = None;
    for (one, other) in [(log, rows), (rows, log)] {
        one.each(&mut |record| {
            let key = record.key();
            if first.is_none() && other.get(key).as_ref() != Some(&record) {
                first = Some(key);
            }
        });
    }
    first
}

fn head_of(log: &[Entry]) -> Hash {
    log.iter()
        .fold(Hash::default(), |head, entry| link(head, &entry.canonical()))
}

fn name(log: &Tables, rows: &Tables, key: Key) -> String {
    rows.get(key)
        .or_else(|| log.get(key))
        .map_or_else(|| format!("{} {}", key.kind.title(), key.id), |r| words(&r))
}

fn words(record: &Record) -> String {
    let key = record.key();
    let label = record.label();
    if label.is_empty() {
        format!("{} {}", key.kind.title(), key.id)
    } else {
        format!("{} {label}", key.kind.title())
    }
}
