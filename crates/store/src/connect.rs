//! Connections: for writing, and for reading without leaving a trace.

use std::{ffi::OsString, fs, path::Path, time::Duration};

use rusqlite::{Connection, OpenFlags, config::DbConfig};
use tempfile::TempDir;

use crate::{
    error::{self, StoreError, Trouble},
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
/// What a process that died left beside the file is read as well. Where SQLite would have to write for that, it happens on a copy
/// in a scratch folder, which goes with the returned guard.
pub(crate) fn reading(path: &Path, look: &Look) -> Result<(Connection, Option<TempDir>), StoreError> {
    if !look.wal_mode && !look.journal {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        return in_place(&absolute(path), flags)
            .map(|db| (db, None))
            .map_err(|e| e.at(path, "opening it"));
    }
    if look.wal_mode && look.shm && !look.journal {
        let flags =
            OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_URI;
        // A refusal here only says that it cannot be read where it is.
        if let Ok(db) = in_place(&without_trace(&absolute(path)), flags) {
            return Ok((db, None));
        }
    }
    let (db, scratch) = copied(path)?;
    Ok((db, Some(scratch)))
}

fn in_place(path: &OsString, flags: OpenFlags) -> Result<Connection, Trouble> {
    let db = Connection::open_with_flags(path, flags)?;
    set_up(&db)?;
    db.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))?;
    Ok(db)
}

/// A copy of the file, with what lies beside it, in a scratch folder; open for writing there.
pub(crate) fn copied(path: &Path) -> Result<(Connection, TempDir), StoreError> {
    let failed = |e: std::io::Error| error::io(path, "copying it to a scratch folder for reading", &e);
    let scratch = tempfile::tempdir().map_err(failed)?;
    let copy = scratch.path().join("copy.crimpbook");
    fs::copy(path, &copy).map_err(failed)?;
    for suffix in ["-wal", "-journal"] {
        if beside(path, suffix).exists() {
            fs::copy(beside(path, suffix), beside(&copy, suffix)).map_err(failed)?;
        }
    }
    let db = writing(&copy).map_err(|e| e.at(path, "opening a copy of it"))?;
    Ok((db, scratch))
}

/// An absolute path is never taken for one of SQLite's special names.
fn absolute(path: &Path) -> OsString {
    std::path::absolute(path)
        .unwrap_or_else(|_| path.to_owned())
        .into_os_string()
}

/// The path as a URI that opens the index of changes beside the file for reading only.
fn without_trace(path: &OsString) -> OsString {
    let mut uri = String::from("file:");
    for byte in path.as_encoded_bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'.' | b'-' | b'_' => {
                uri.push(char::from(*byte))
            }
            other => uri.push_str(&format!("%{other:02X}")),
        }
    }
    uri.push_str("?mode=ro&readonly_shm=1");
    uri.into()
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
