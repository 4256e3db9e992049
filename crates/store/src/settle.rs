//! Getting ready for changes, and leaving one file behind.

use std::{path::Path, thread, time::Duration};

use rusqlite::{Connection, ErrorCode};

use crate::{
    Store,
    error::{StoreError, Trouble},
    load,
    look::beside,
    open::Access,
    place::network_disk,
    watch,
};

impl Store {
    /// Gets the file ready for changes: from now on they go to a file beside it first, with one sync each.
    ///
    /// [`Store::commit`] does it by itself; a program that does it while nobody waits makes the first change as quick as the others.
    ///
    /// # Errors
    /// It is open for reading only, or another process is in the way.
    pub fn get_ready(&mut self) -> Result<(), StoreError> {
        match self.access {
            Access::Ready => Ok(()),
            Access::Read => Err(crate::error::read_only(
                &self.path,
                "it was opened for reading and",
            )),
            Access::Write => {
                let at = |e: Trouble| e.at(&self.path, "getting it ready for changes");
                self.to_wal().map_err(at)?;
                // SQLite counts this as a change; it is none as long as the log ends where it did.
                let seen = watch::data_version(&self.db).map_err(at)?;
                if load::head(&self.db).map_err(at)? == self.head {
                    self.seen = seen;
                }
                self.access = Access::Ready;
                Ok(())
            }
        }
    }

    fn to_wal(&self) -> Result<(), Trouble> {
        // Machines that share a disk share no memory, which write-ahead mode is built on (<https://sqlite.org/wal.html>).
        if network_disk(&self.path).is_some() {
            return durable_by_journal(&self.db);
        }
        to_wal(&self.db)
    }

    /// Closes the file. The last process to do so leaves one file.
    ///
    /// # Errors
    /// The files beside it could not be taken in; they hold changes and belong with it. Nothing is lost.
    pub fn close(mut self) -> Result<(), StoreError> {
        self.settle()
    }

    fn settle(&mut self) -> Result<(), StoreError> {
        if self.settled || self.access == Access::Read {
            return Ok(());
        }
        self.settled = true;
        // A journal of a process that died before it changed anything stays until the next change: this is as good as one.
        let left = beside(&self.path, "-journal").exists();
        let ready = if left { self.to_wal() } else { Ok(()) };
        ready
            .and_then(|()| from_wal(&self.db))
            .map_err(|e| closing(e, &self.path))
    }
}

impl Drop for Store {
    fn drop(&mut self) {
        // Nobody is left to tell; the changes are safe in the file beside.
        let _ = self.settle();
    }
}

fn closing(trouble: Trouble, path: &Path) -> StoreError {
    let mut error = trouble.at(path, "closing it");
    error.sentence = format!(
        "{}: the changes in the files beside it could not be taken in; nothing is lost as long as they stay together",
        path.display()
    );
    error.hint =
        Some("open and close it again when the disk has room and nobody else has it open".to_owned());
    error
}

fn to_wal(db: &Connection) -> Result<(), Trouble> {
    // Two processes that do this at once are both turned away, without the usual wait: they try again, at growing distances.
    let mut pauses = [5, 10, 20, 40, 80, 160, 320].into_iter();
    let mode: String = loop {
        let asked = db.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0));
        match asked.map_err(|e| (e.sqlite_error_code(), e)) {
            Ok(mode) => break mode,
            Err((Some(ErrorCode::DatabaseBusy), error)) => match pauses.next() {
                Some(pause_ms) => thread::sleep(Duration::from_millis(pause_ms)),
                None => return Err(error.into()),
            },
            Err((_, error)) => return Err(error.into()),
        }
    };
    if mode != "wal" {
        // A disk that cannot share memory between processes.
        durable_by_journal(db)?;
    }
    Ok(())
}

/// Where a journal is kept in place of a write-ahead file: the folder is synced as well, so that a change is as durable.
fn durable_by_journal(db: &Connection) -> Result<(), Trouble> {
    db.pragma_update(None, "synchronous", "EXTRA")?;
    Ok(())
}

fn from_wal(db: &Connection) -> Result<(), Trouble> {
    let mode: String = db.query_row("PRAGMA journal_mode", [], |row| row.get(0))?;
    if mode != "wal" {
        return Ok(());
    }
    // Whoever else has it open tidies up when they close it: no waiting for them.
    db.busy_timeout(Duration::ZERO)?;
    let alone = db.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()));
    match alone.map_err(|e| (e.sqlite_error_code(), e)) {
        Ok(()) | Err((Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked), _)) => Ok(()),
        Err((_, error)) => Err(error.into()),
    }
}
