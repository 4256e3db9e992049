//! Making a file, whole or not at all.

use std::{
    fs::{File, OpenOptions},
    path::Path,
};

use rusqlite::{Connection, OpenFlags};
use tempfile::TempPath;

use crimpbook_workbook::{log::Entry, model::Tables};

use crate::{
    Head, Opened, Store, connect,
    error::{self, StoreError, Trouble},
    look, migrate, replay,
    schema::{APPLICATION_ID, STEPS},
    write,
};

impl Store {
    /// Makes a workbook whose log holds these entries, with the records that follow from them, and opens it for writing.
    ///
    /// It is written under another name beside `path` and gets its own when it is whole; a file that is there is never overwritten.
    ///
    /// # Errors
    /// There is something at `path` already, the folder cannot be written, or the entries do not follow from each other.
    pub fn create(path: &Path, entries: &[Entry]) -> Result<Opened, StoreError> {
        if path.symlink_metadata().is_ok() {
            return Err(error::exists(path));
        }
        let new = sibling(path)?;
        fill(&new, entries).map_err(|e| e.at(path, "making it"))?;
        place(new, path)?;
        Self::open(path)
    }
}

/// A new empty file beside `path`, which goes away if it is not placed.
pub(crate) fn sibling(path: &Path) -> Result<TempPath, StoreError> {
    tempfile::Builder::new()
        .prefix(".crimpbook-")
        .suffix(".new")
        .make_in(look::folder(path), |name| {
            let mut options = OpenOptions::new();
            // A workbook is its builder's alone until they give it to others.
            #[cfg(unix)]
            std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
            options.write(true).create_new(true).open(name)
        })
        .map(tempfile::NamedTempFile::into_temp_path)
        .map_err(|e| match e.kind() {
            std::io::ErrorKind::NotFound => error::file(
                path,
                error::Cause::Missing,
                format!("there is no folder {}", look::folder(path).display()),
                "make the folder first, or choose another",
            ),
            std::io::ErrorKind::PermissionDenied | std::io::ErrorKind::ReadOnlyFilesystem => error::file(
                path,
                error::Cause::ReadOnly,
                format!("{} cannot be made: its folder is read-only", path.display()),
                "choose a folder you may write in",
            ),
            _ => error::io(path, "making it", &e),
        })
}

/// Gives a whole file its name, unless that is taken, and makes both durable.
pub(crate) fn place(new: TempPath, path: &Path) -> Result<(), StoreError> {
    let failed = |e: std::io::Error| error::io(path, "making it", &e);
    File::open(&new)
        .and_then(|file| file.sync_all())
        .map_err(failed)?;
    new.persist_noclobber(path).map_err(|e| failed(e.error))?;
    // Not every system lets a folder be opened; there the name is made durable by the system's own means.
    if let Ok(folder) = File::open(look::folder(path)) {
        folder.sync_all().map_err(failed)?;
    }
    Ok(())
}

fn fill(new: &Path, entries: &[Entry]) -> Result<(), Trouble> {
    let db = Connection::open_with_flags(
        new,
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    connect::set_up(&db)?;
    // Nobody sees the file before it is whole and synced.
    db.query_row("PRAGMA journal_mode = OFF", [], |_| Ok(()))?;
    db.pragma_update(None, "synchronous", "OFF")?;
    db.pragma_update(None, "application_id", APPLICATION_ID)?;
    migrate::steps_up(&db, STEPS)?;
    let transaction = db.unchecked_transaction()?;
    let mut tables = Tables::default();
    let mut head = Head::default();
    for entry in entries {
        replay::apply(&mut tables, head.seq + 1, entry.clone())?;
        head = write::log(&transaction, head, entry)?;
    }
    let mut written = Ok(());
    tables.each(&mut |record| {
        if written.is_ok() {
            written = write::put(&transaction, &record);
        }
    });
    written?;
    transaction.commit()?;
    db.close().map_err(|(_, error)| error)?;
    Ok(())
}
