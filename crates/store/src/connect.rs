//! Connections: for writing, and for reading without leaving a trace.

use std::{
    ffi::OsString,
    fs::{self, File},
    io::{self, Read},
    path::Path,
    time::Duration,
};

use rusqlite::{Connection, OpenFlags, config::DbConfig};
use tempfile::TempDir;

use crate::{
    error::{self, Cause, StoreError, Trouble},
    look::{Look, beside},
};

/// How long to wait for another process before giving up.
const PATIENCE: Duration = Duration::from_secs(2);

/// A connection that may write. It writes nothing by itself, and does not tidy up when dropped until told to.
pub(crate) fn writing(path: &Path) -> Result<Connection, Trouble> {
    let db = Connection::open_with_flags(
        absolute(path),
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    set_up(&db)?;
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    Ok(db)
}

/// Settings of every connection; whether the file keeps its changes beside it is [`crate::Store`]'s matter.
pub(crate) fn set_up(db: &Connection) -> Result<(), Trouble> {
    db.busy_timeout(PATIENCE)?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "synchronous", "FULL")?;
    // What a file brings along is not trusted.
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    db.set_prepared_statement_cache_capacity(160);
    Ok(())
}

/// A connection that changes nothing, not even files beside the workbook.
///
/// What lies beside it, because a process died over it or another has it open, is read as well. SQLite would have to write for that:
/// it happens on a copy in a scratch folder, which goes with the returned guard.
pub(crate) fn reading(path: &Path, look: &Look) -> Result<(Connection, Option<TempDir>), StoreError> {
    if !look.wal_mode {
        let opened = in_place(path);
        // A journal that has to be rolled back cannot be where nothing may be written; one of a living process is no obstacle.
        if !look.journal || opened.is_ok() {
            return opened.map(|db| (db, None)).map_err(|e| e.at(path, "opening it"));
        }
    }
    let (db, scratch) = copied(path)?;
    Ok((db, Some(scratch)))
}

/// A connection that only reads.
pub(crate) fn in_place(path: &Path) -> Result<Connection, Trouble> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(absolute(path), flags)?;
    set_up(&db)?;
    db.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))?;
    Ok(db)
}

/// A copy of the file with what lies beside it, as of one moment, in a scratch folder; open for writing there.
///
/// Another process may be writing meanwhile. What it has moved from the write-ahead file into the main file stays in the former
/// until that is begun anew with another head. So a main file copied first and a write-ahead file copied after it belong
/// together if the head was the same all the time; a change cut off at the end of the copy fails its checksum and counts as not made.
pub(crate) fn copied(path: &Path) -> Result<(Connection, TempDir), StoreError> {
    let failed = |e: io::Error| error::io(path, "copying it to a scratch folder for reading", &e);
    let scratch = tempfile::tempdir().map_err(failed)?;
    let copy = scratch.path().join("copy.crimpbook");
    for _ in 0..20 {
        let before = wal_head(path).map_err(failed)?;
        copy_bytes(path, &copy).map_err(failed)?;
        for suffix in ["-wal", "-journal"] {
            match copy_bytes(&beside(path, suffix), &beside(&copy, suffix)) {
                Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(failed(e)),
                _ => {}
            }
        }
        if wal_head(path).map_err(failed)? == before && wal_head(&copy).map_err(failed)? == before {
            let db = writing(&copy).map_err(|e| e.at(path, "opening a copy of it"))?;
            return Ok((db, scratch));
        }
        let _ = fs::remove_file(beside(&copy, "-wal"));
    }
    Err(error::file(
        path,
        Cause::Busy,
        format!(
            "{} is being written by another process faster than it can be read",
            path.display()
        ),
        "repeat when the other process pauses",
    ))
}

/// Copies what is in a file, not its permissions.
fn copy_bytes(from: &Path, to: &Path) -> io::Result<()> {
    let mut from = File::open(from)?;
    io::copy(&mut from, &mut File::create(to)?).map(drop)
}

/// The first 32 bytes of the write-ahead file, which differ each time it is begun anew; none: it holds nothing.
fn wal_head(path: &Path) -> io::Result<Option<[u8; 32]>> {
    let mut head = [0; 32];
    match File::open(beside(path, "-wal")).and_then(|mut file| file.read_exact(&mut head)) {
        Ok(()) => Ok(Some(head)),
        Err(e) if matches!(e.kind(), io::ErrorKind::NotFound | io::ErrorKind::UnexpectedEof) => Ok(None),
        Err(e) => Err(e),
    }
}

/// An absolute path is never taken for one of SQLite's special names.
fn absolute(path: &Path) -> OsString {
    std::path::absolute(path)
        .unwrap_or_else(|_| path.to_owned())
        .into_os_string()
}

/// SQLite's own look over the whole file.
///
/// # Errors
/// Says what it found.
pub(crate) fn check(db: &Connection) -> Result<(), Trouble> {
    let found: String = db.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if found == "ok" {
        Ok(())
    } else {
        Err(Trouble::Damaged(found))
    }
}

/// Version of the tables as the connection sees it.
pub(crate) fn version(db: &Connection) -> Result<i32, Trouble> {
    Ok(db.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}
