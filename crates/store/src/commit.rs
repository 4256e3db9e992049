//! A change made durable.

use std::fs;

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crimpbook_workbook::{
    edit::Change,
    log::{Entry, EntryHead},
};

use crate::{
    Head, Store, connect,
    error::{self, Cause, StoreError, Trouble},
    load,
    schema::VERSION,
    write,
};

impl Store {
    /// Writes an entry with its records, in one transaction. When this returns they are on the disk.
    ///
    /// # Errors
    /// [`Cause::MovedOn`] if another writer was there first: [`reload`](Self::reload), look again, repeat. In every case of an
    /// error nothing is written.
    pub fn commit(&mut self, entry: &Entry) -> Result<EntryHead, StoreError> {
        self.still_there()?;
        self.get_ready()?;
        let known = self.head;
        let head = self
            .transaction(|db| write_entry(db, known, entry))
            .map_err(|e| e.at(&self.path, "writing a change"))?;
        self.head = head;
        Ok(entry.head(head.seq))
    }

    /// Writes what stands in the write-ahead file into the file itself, so that a copy of the file alone holds it; what another
    /// reader has in use waits for the next time.
    ///
    /// # Errors
    /// The file cannot be written; all stays where it is.
    pub fn fold_in(&self) -> Result<(), StoreError> {
        let fold = "PRAGMA wal_checkpoint(PASSIVE)";
        let done = self.db.query_row(fold, [], |_| Ok(())).map_err(Trouble::from);
        done.map_err(|e| e.at(&self.path, "writing changes into it"))
    }

    fn transaction<T>(&self, act: impl FnOnce(&Connection) -> Result<T, Trouble>) -> Result<T, Trouble> {
        let transaction = Transaction::new_unchecked(&self.db, TransactionBehavior::Immediate)?;
        let done = act(&transaction)?;
        transaction.commit()?;
        Ok(done)
    }

    /// A file that was moved away or replaced while open would swallow changes.
    fn still_there(&self) -> Result<(), StoreError> {
        let gone = |e: std::io::Error| match e.kind() {
            std::io::ErrorKind::NotFound => error::file(
                &self.path,
                Cause::Missing,
                format!(
                    "{} was moved away or deleted while it was open; nothing was written",
                    self.path.display()
                ),
                "put it back where it was and repeat, or close the workbook and open it where it is now",
            ),
            _ => error::io(&self.path, "writing a change", &e),
        };
        let there = fs::metadata(&self.path).map_err(gone)?;
        if self.identity.is_none() || self.identity == crate::look::identity(&there) {
            return Ok(());
        }
        Err(error::file(
            &self.path,
            Cause::Missing,
            format!(
                "{} is another file than the one that was opened; nothing was written",
                self.path.display()
            ),
            "close the workbook and open it again",
        ))
    }
}

fn write_entry(db: &Connection, known: Head, entry: &Entry) -> Result<Head, Trouble> {
    let version = connect::version(db)?;
    if version != VERSION {
        return Err(Trouble::MovedOn(format!(
            "a newer crimpbook brought the tables to version {version} meanwhile"
        )));
    }
    if load::head(db)? != known {
        return Err(Trouble::MovedOn(
            "another process changed the workbook meanwhile".to_owned(),
        ));
    }
    // A merge names the entry it stands behind.
    let laid_out = entry.merged.as_ref().map(|merged| merged.ours.as_str());
    if laid_out.is_some_and(|ours| ours != known.hash.to_string()) {
        return Err(Trouble::MovedOn(
            "the merge was laid out before the workbook's last change; lay it out again".to_owned(),
        ));
    }
    for change in &entry.changes {
        as_expected(db, change)?;
    }
    for change in &entry.changes {
        match (&change.after, change.key()) {
            (Some(after), _) => write::put(db, after)?,
            (None, Some(key)) => write::remove(db, key)?,
            (None, None) => {}
        }
    }
    write::log(db, known, entry)
}

/// The record stands in the file as the change found it. After the check of the log's head this fails only where somebody wrote
/// past the log.
fn as_expected(db: &Connection, change: &Change) -> Result<(), Trouble> {
    let Some(key) = change.key() else {
        return Err(Trouble::CannotHold("a change names no record".to_owned()));
    };
    let found = load::record(db, write::plan_of(key)?, &key.id.to_string())?;
    if found == change.before {
        return Ok(());
    }
    let name = change
        .before
        .as_ref()
        .or(change.after.as_ref())
        .map(|record| record.label().to_owned())
        .filter(|label| !label.is_empty())
        .unwrap_or_else(|| key.id.to_string());
    Err(Trouble::MovedOn(format!(
        "the {} {name} is not as it was when you looked",
        key.kind.title()
    )))
}
