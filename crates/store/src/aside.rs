//! A second look at a file that is open, from another thread.

use std::path::{Path, PathBuf};

use crate::{
    Store, Verified, connect, copies,
    error::{StoreError, Trouble},
    verify,
};

/// Looks at an open file on the side. It has a connection of its own through the same library, which keeps the process's locks: the
/// file must never be opened past the library while it is open.
#[derive(Debug, Clone)]
pub struct Aside {
    path: PathBuf,
}

impl Store {
    /// A handle to look at this file from another thread. The store must stay open as long as it is used.
    pub fn aside(&self) -> Aside {
        Aside {
            path: self.path.clone(),
        }
    }
}

impl Aside {
    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// As [`Store::verify`].
    ///
    /// # Errors
    /// Says what does not verify.
    pub fn verify(&self) -> Result<Verified, StoreError> {
        connect::in_place(&self.path)
            .and_then(|db| verify::verify(&db))
            .map_err(|e| self.at(e, "verifying it"))
    }

    /// Keeps a whole copy for this day (`2026-11-27`) in the folder of copies beside the file, and lets go of the oldest ones beyond
    /// [`crate::COPIES_KEPT`]. Gives the copy's name; none where this day has one, or the newest one holds all there is.
    ///
    /// # Errors
    /// The folder cannot be made or written; what copies there are stay.
    pub fn keep_copy(&self, day: &str) -> Result<Option<PathBuf>, StoreError> {
        let db = connect::in_place(&self.path).map_err(|e| self.at(e, "copying it"))?;
        copies::keep(&db, &self.path, day)
    }

    fn at(&self, trouble: Trouble, doing: &str) -> StoreError {
        trouble.at(&self.path, doing)
    }
}
