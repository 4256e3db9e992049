//! Copies that are whole.

use std::path::Path;

use rusqlite::Connection;

use crate::{
    Store,
    create::{place, sibling},
    error::{self, StoreError, Trouble},
};

impl Store {
    /// Writes a copy of the workbook to `path`, whole or not at all, as of this moment. Copying the file by other means can leave
    /// out what lies beside it.
    ///
    /// # Errors
    /// There is something at `path` already, or it cannot be written.
    pub fn backup_to(&self, path: &Path) -> Result<(), StoreError> {
        copy_to(&self.db, &self.path, path)
    }
}

/// Copies an open file that lies at `from`.
pub(crate) fn copy_to(db: &Connection, from: &Path, to: &Path) -> Result<(), StoreError> {
    if to.symlink_metadata().is_ok() {
        return Err(error::exists(to));
    }
    let new = sibling(to)?;
    let Some(name) = new.to_str() else {
        return Err(error::file(
            to,
            error::Cause::Other,
            format!("{}: a copy needs a name that is text", to.display()),
            "choose another name",
        ));
    };
    db.execute("VACUUM INTO ?1", [name])
        .map_err(|e| Trouble::from(e).at(to, &format!("copying {}", from.display())))?;
    place(new, to)
}
