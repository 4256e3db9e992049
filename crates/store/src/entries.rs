//! The log's entries one by one.

use rusqlite::OptionalExtension;

use crimpbook_workbook::log::{Entry, Hash};

use crate::{
    Store,
    error::{StoreError, Trouble},
    replay,
};

impl Store {
    /// The entry at a place of the log.
    ///
    /// # Errors
    /// There is none, or it cannot be read.
    pub fn entry(&self, seq: u64) -> Result<Entry, StoreError> {
        self.body(seq)
            .and_then(|found| {
                let (body, _) =
                    found.ok_or_else(|| Trouble::Damaged(format!("its log has no entry {seq}")))?;
                replay::entry(seq, &body)
            })
            .map_err(|e| e.at(&self.path, "reading its log"))
    }

    /// The whole log: each entry beside the text that was hashed, oldest first.
    ///
    /// # Errors
    /// One of them cannot be read.
    pub fn log(&self) -> Result<Vec<(Entry, String)>, StoreError> {
        let mut log = Vec::new();
        for (seq, found) in (1..).zip(self.bodies()) {
            let (body, _) = found?;
            let entry = replay::entry(seq, &body).map_err(|e| e.at(&self.path, "reading its log"))?;
            log.push((entry, body));
        }
        Ok(log)
    }

    /// Every entry's canonical JSON, as it was hashed, with its hash, in order.
    pub fn bodies(&self) -> Bodies<'_> {
        Bodies { store: self, next: 1 }
    }

    fn body(&self, seq: u64) -> Result<Option<(String, Hash)>, Trouble> {
        let found: Option<(String, String)> = self
            .db
            .prepare_cached("SELECT body, hash FROM log WHERE seq = ?1")?
            .query_row([seq], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        found
            .map(|(body, hash)| {
                let hash = Hash::parse(&hash).ok_or_else(|| {
                    Trouble::Damaged(format!("the hash of entry {seq} of its log cannot be read"))
                })?;
                Ok((body, hash))
            })
            .transpose()
    }
}

/// The bodies of a log, in order.
#[derive(Debug)]
pub struct Bodies<'s> {
    store: &'s Store,
    next: u64,
}

impl Iterator for Bodies<'_> {
    type Item = Result<(String, Hash), StoreError>;
    fn next(&mut self) -> Option<Self::Item> {
        let found = self.store.body(self.next).transpose()?;
        self.next += 1;
        Some(found.map_err(|e| e.at(&self.store.path, "reading its log")))
    }
}
