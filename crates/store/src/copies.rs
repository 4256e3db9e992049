//! The copies that are kept beside a workbook, one a day it was opened and had changed.

use std::{
    fs,
    path::{Path, PathBuf},
};

use rusqlite::Connection;

use crate::{
    Head, Store, backup,
    error::{self, Cause, StoreError},
    load, look,
};

/// How many copies are kept.
pub const KEPT: usize = 7;

/// A copy of a workbook.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct DayCopy {
    /// The day it was made, as 2026-11-27.
    pub day: String,
    /// Where it is.
    pub path: PathBuf,
}

/// The folder that holds the copies of a workbook: `NAME.copies` beside it.
pub fn folder(path: &Path) -> PathBuf {
    look::beside(path, ".copies")
}

/// The copies of a workbook, oldest first. What else lies in their folder is left alone.
pub fn list(path: &Path) -> Vec<DayCopy> {
    let Ok(names) = fs::read_dir(folder(path)) else {
        return Vec::new();
    };
    let mut found: Vec<DayCopy> = names
        .filter_map(|name| {
            let path = name.ok()?.path();
            let day = path.file_name()?.to_str()?.strip_suffix(".crimpbook")?.to_owned();
            is_day(&day).then_some(DayCopy { day, path })
        })
        .collect();
    found.sort();
    found
}

/// Keeps the copy of a day; see [`crate::Aside::keep_copy`].
pub(crate) fn keep(db: &Connection, path: &Path, day: &str) -> Result<Option<PathBuf>, StoreError> {
    let there = list(path);
    let head = load::head(db).map_err(|e| e.at(path, "copying it"))?;
    if there.iter().any(|copy| copy.day == day) || there.last().is_some_and(|copy| ends_at(copy, head)) {
        return Ok(None);
    }
    let folder = folder(path);
    make_folder(&folder)?;
    let copy = folder.join(format!("{day}.crimpbook"));
    match backup::copy_to(db, path, &copy) {
        // Another process was quicker.
        Err(e) if e.cause == Cause::Exists => return Ok(None),
        done => done?,
    }
    // A clock that was set back makes copies that sort before older ones: the one just made stays in any case.
    let over = (there.len() + 1).saturating_sub(KEPT);
    for old in there.iter().take(over) {
        // A copy too many does no harm.
        let _ = fs::remove_file(&old.path);
    }
    Ok(Some(copy))
}

fn make_folder(folder: &Path) -> Result<(), StoreError> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
        Err(e) if !folder.is_dir() => Err(error::io(folder, "making the folder of copies", &e)),
        _ => Ok(()),
    }
}

/// Whether a copy can be read and its log ends there.
fn ends_at(copy: &DayCopy, head: Head) -> bool {
    Store::open_read_only(&copy.path).is_ok_and(|opened| opened.store.head() == head)
}

/// Whether a name is a day, as 2026-11-27.
fn is_day(name: &str) -> bool {
    name.len() == 10
        && name.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        })
}
