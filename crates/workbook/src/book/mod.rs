//! The book: all records whole in memory, with indexes that are derived and never stored.

mod faces;
mod index;
mod names;
mod natural;
mod shards;

use crate::edit::Change;
use crate::model::{Id, Row, Table, Tables};
pub use index::{Index, unique_label};
pub use natural::{InOrder, Natural, natural};
pub use shards::Lists;

/// A workbook in memory.
///
/// Cheap to copy: copies share all that none of them changes. Changed only through [`Book::apply`].
#[derive(Debug, Clone, Default)]
pub struct Book {
    tables: Tables,
    index: Index,
    /// The last released revision's letter, if there is one.
    pub(crate) revision: Option<String>,
}

impl PartialEq for Book {
    fn eq(&self, other: &Self) -> bool {
        self.tables == other.tables && self.revision == other.revision
    }
}

impl Book {
    /// A book over tables that were checked before (loaded from a file of ours).
    pub fn from_tables(tables: Tables, revision: Option<String>) -> Self {
        let index = Index::of(&tables);
        Self {
            tables,
            index,
            revision,
        }
    }

    /// All tables.
    pub fn tables(&self) -> &Tables {
        &self.tables
    }

    /// The derived indexes.
    pub fn index(&self) -> &Index {
        &self.index
    }

    /// Letter of the last release, if there was one.
    pub fn revision(&self) -> Option<&str> {
        self.revision.as_deref()
    }

    /// The table of a kind of record.
    pub fn all<R: Row>(&self) -> &Table<R> {
        R::table(&self.tables)
    }

    /// A record by id.
    pub fn get<R: Row>(&self, id: Id<R>) -> Option<&R> {
        self.all::<R>().get(&id)
    }

    /// Puts the changes in; each was checked against the record it replaces.
    pub(crate) fn follow(&mut self, changes: &[Change]) {
        for change in changes {
            match (&change.after, change.key()) {
                (Some(after), _) => self.tables.put(after.clone()),
                (None, Some(key)) => self.tables.remove(key),
                (None, None) => {}
            }
        }
        self.index.follow(&self.tables, changes);
    }

    /// Changes the tables past the door, for tests.
    #[cfg(test)]
    pub(crate) fn change(&mut self, change: impl FnOnce(&mut Tables)) {
        change(&mut self.tables);
        self.index = Index::of(&self.tables);
    }
}
