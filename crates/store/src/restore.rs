//! Putting a copy in the place of a workbook. What was there is moved aside, never written over.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use crate::{
    Opened, Store, Verified, backup,
    error::{self, StoreError},
    look,
};

/// What a restoring did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// Where what was there is now; none: there was nothing.
    pub aside: Option<PathBuf>,
    /// What the copy holds.
    pub verified: Verified,
}

/// Puts a whole copy of `copy` at `path`, after it was read through. What is at `path`, with what lies beside it, is moved to
/// `NAME.replaced-N`; a process that has it open keeps it there and is told at its next change.
///
/// # Errors
/// The copy does not verify, or the folder cannot be written; `path` is as it was then.
pub fn restore(path: &Path, copy: &Path) -> Result<Restored, StoreError> {
    let Opened { store, .. } = Store::open_read_only(copy)?;
    let verified = store.verify()?;
    let new = look::beside(path, ".restoring");
    // Of an attempt that was cut off.
    let _ = fs::remove_file(&new);
    backup::copy_to(&store.db, copy, &new)?;
    let aside = match move_aside(path) {
        Ok(aside) => aside,
        Err(e) => {
            let _ = fs::remove_file(&new);
            return Err(e);
        }
    };
    fs::rename(&new, path).map_err(|e| error::io(path, "putting the copy in its place", &e))?;
    Ok(Restored { aside, verified })
}

/// Moves a workbook and what lies beside it to the first free name.
fn move_aside(path: &Path) -> Result<Option<PathBuf>, StoreError> {
    if path.symlink_metadata().is_err() {
        return Ok(None);
    }
    let free = |aside: &PathBuf| {
        ["", "-wal", "-journal", "-shm"]
            .iter()
            .all(|suffix| look::beside(aside, suffix).symlink_metadata().is_err())
    };
    let aside = (1..1000_u32)
        .map(|n| look::beside(path, &format!(".replaced-{n}")))
        .find(free)
        .ok_or_else(|| error::exists(&look::beside(path, ".replaced-999")))?;
    // What lies beside goes first: alone it is of no use, and without it the file would be older than it is.
    for suffix in ["-wal", "-journal", ""] {
        match fs::rename(look::beside(path, suffix), look::beside(&aside, suffix)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => {
                return Err(error::io(path, "moving it aside", &e));
            }
            _ => {}
        }
    }
    // Only an index of the write-ahead file, made anew when it is opened.
    let _ = fs::remove_file(look::beside(path, "-shm"));
    Ok(Some(aside))
}
