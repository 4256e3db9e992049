//! Noticing another writer.

use rusqlite::Connection;

use crimpbook_workbook::{Book, log::EntryHead};

use crate::{
    Store,
    error::{StoreError, Trouble},
    load,
};

impl Store {
    /// Whether another process wrote to the file since this one last read it. Cheap: meant to be asked twice a second.
    ///
    /// # Errors
    /// The file cannot be read any more.
    pub fn changed_elsewhere(&self) -> Result<bool, StoreError> {
        data_version(&self.db)
            .map(|now| now != self.seen)
            .map_err(|e| e.at(&self.path, "looking for changes"))
    }

    /// Reads everything again.
    ///
    /// # Errors
    /// The file cannot be read any more; what was known stays as it was.
    pub fn reload(&mut self) -> Result<(Book, Vec<EntryHead>), StoreError> {
        let at = |trouble: Trouble| trouble.at(&self.path, "reading it again");
        // Asked before reading: what comes in between is noticed the next time.
        let seen = data_version(&self.db).map_err(at)?;
        let (book, heads, head) = load::load(&self.db).map_err(at)?;
        self.seen = seen;
        self.head = head;
        Ok((book, heads))
    }
}

/// A number that changes when another connection commits (<https://sqlite.org/pragma.html#pragma_data_version>).
pub(crate) fn data_version(db: &Connection) -> Result<i64, Trouble> {
    Ok(db
        .prepare_cached("PRAGMA data_version")?
        .query_row([], |row| row.get(0))?)
}
