//! Why files could not be written, in one sentence.

use std::{
    io::{Error, ErrorKind},
    path::{Path, PathBuf},
};

/// Nothing was written, or where it says so, not everything.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// There is no room.
    #[error("the disk is full: nothing was written to {}; make room and try again", .0.display())]
    Full(PathBuf),
    /// It may not be written to.
    #[error("{} may not be written to: nothing was written; choose another folder", .0.display())]
    ReadOnly(PathBuf),
    /// A folder is needed where a file is.
    #[error("{} is a file: nothing was written; name a folder", .0.display())]
    IsAFile(PathBuf),
    /// A file is needed where a folder is.
    #[error("{} is a folder where a file has to go: nothing was written; move it away or choose another folder", .0.display())]
    IsAFolder(PathBuf),
    /// Files were ready, and some could not be put in their places.
    #[error("{placed} of {all} files are in {}, the others could not be put there ({why}); try again", .folder.display())]
    Partly {
        /// The folder.
        folder: PathBuf,
        /// Files in their places.
        placed: usize,
        /// Files there should be.
        all: usize,
        /// What the system says.
        why: Error,
    },
    /// Something else.
    #[error("{} could not be written ({why}): nothing was written", .path.display())]
    Other {
        /// The file or folder.
        path: PathBuf,
        /// What the system says.
        why: Error,
    },
}

impl WriteError {
    /// What went wrong at `path` before anything was put in its place.
    pub(super) fn of(path: &Path, why: Error) -> Self {
        let path = path.to_owned();
        match why.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::Full(path),
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Self::ReadOnly(path),
            ErrorKind::NotADirectory | ErrorKind::AlreadyExists => Self::IsAFile(path),
            _ => Self::Other { path, why },
        }
    }
}
