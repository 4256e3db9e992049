//! What goes wrong with a file, in sentences.

use std::{
    fmt,
    path::{Path, PathBuf},
};

use rusqlite::ErrorCode;

use crate::place::another_users;

/// Whose matter an error is; the exit code follows from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ErrorKind {
    /// The person asked for something that cannot be, or has to look again.
    User,
    /// The file cannot be read or written (exit code 4).
    File,
    /// The program is at fault.
    Internal,
}

/// What went wrong, for callers that act on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cause {
    /// There is no such file.
    Missing,
    /// There is something already where a file was to be made.
    Exists,
    /// A folder, an empty file, or a file of another kind.
    NotAWorkbook,
    /// Written by a newer program.
    Newer,
    /// Damaged, or altered outside the program.
    Damaged,
    /// Reading is not permitted.
    Denied,
    /// Writing is not permitted.
    ReadOnly,
    /// Another process holds the file.
    Busy,
    /// The disk is full.
    Full,
    /// Another process changed the workbook: reload, look again and repeat.
    MovedOn,
    /// Anything else.
    Other,
}

/// An error of the store: a sentence that says what and where, and what to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoreError {
    /// Whose matter it is.
    pub kind: ErrorKind,
    /// What went wrong.
    pub cause: Cause,
    /// What happened and where, in plain words.
    pub sentence: String,
    /// The file.
    pub path: PathBuf,
    /// What to do about it.
    pub hint: Option<String>,
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence)
    }
}

impl std::error::Error for StoreError {}

/// What goes wrong inside, before it is known in which file.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// SQLite reports it.
    Sql(rusqlite::Error),
    /// A row cannot be understood.
    Row {
        /// The table and the row in it.
        place: String,
        /// What is wrong.
        problem: String,
    },
    /// Something the file must hold is not so.
    Damaged(String),
    /// Another writer was here.
    MovedOn(String),
    /// A record or entry that cannot be written whole.
    CannotHold(String),
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sql(error)
    }
}

impl Trouble {
    /// What is wrong, without a place.
    pub(crate) fn what(&self) -> String {
        match self {
            Self::Sql(error) => error.to_string(),
            Self::Row { place, problem } => format!("{place} cannot be understood ({problem})"),
            Self::Damaged(what) | Self::MovedOn(what) | Self::CannotHold(what) => what.clone(),
        }
    }

    /// As an error about the file at `path` that came up while `doing` (`opening it`).
    pub(crate) fn at(self, path: &Path, doing: &str) -> StoreError {
        match self {
            Self::Sql(error) => sql(path, doing, &error),
            Self::Row { place, problem } => {
                damaged(path, &format!("{place} cannot be understood ({problem})"))
            }
            Self::Damaged(what) => damaged(path, &what),
            Self::MovedOn(what) => StoreError {
                kind: ErrorKind::User,
                cause: Cause::MovedOn,
                sentence: format!("{what}: nothing was written"),
                path: path.to_owned(),
                hint: Some("look again and repeat".to_owned()),
            },
            Self::CannotHold(what) => StoreError {
                kind: ErrorKind::Internal,
                cause: Cause::Other,
                sentence: format!(
                    "{} cannot hold the change ({what}): nothing was written",
                    path.display()
                ),
                path: path.to_owned(),
                hint: None,
            },
        }
    }
}

/// An error of the file itself.
pub(crate) fn file(path: &Path, cause: Cause, sentence: String, hint: &str) -> StoreError {
    StoreError {
        kind: ErrorKind::File,
        cause,
        sentence,
        path: path.to_owned(),
        hint: (!hint.is_empty()).then(|| hint.to_owned()),
    }
}

impl StoreError {
    /// The same, said to who tries to save what is left: there is nothing to save but the copies.
    pub(crate) fn beyond_salvage(mut self) -> Self {
        let nothing = match self.cause {
            Cause::Damaged => "nothing of it can be saved",
            Cause::NotAWorkbook => "look at the name: nothing in it is of a workbook",
            _ => return self,
        };
        self.hint = Some(format!(
            "{nothing}; crimpbook restore with its name lists the copies that were kept"
        ));
        self
    }
}

/// The file is damaged: `what` says how it shows.
pub(crate) fn damaged(path: &Path, what: &str) -> StoreError {
    // Of names in a damaged file only the beginning can be read.
    let what = what.split('\u{fffd}').next().unwrap_or(what);
    file(
        path,
        Cause::Damaged,
        format!("{} is damaged: {what}; nothing was changed", path.display()),
        "crimpbook restore with its name lists the copies that were kept; crimpbook salvage saves what can still be read of it",
    )
}

/// That a file is somebody else's, where it is.
fn whose(path: &Path) -> String {
    another_users(path).map_or_else(String::new, |user| {
        format!(", and the file belongs to another user (number {user})")
    })
}

/// Writing is not permitted.
pub(crate) fn read_only(path: &Path, what: &str) -> StoreError {
    file(
        path,
        Cause::ReadOnly,
        format!(
            "{} cannot be changed: {what} is read-only{}; nothing was changed",
            path.display(),
            whose(path)
        ),
        "copy it to a folder you may write in; it can be checked, recorded and exported where it is",
    )
}

/// The disk is full.
fn full(path: &Path, doing: &str) -> StoreError {
    file(
        path,
        Cause::Full,
        format!(
            "no room left for {} while {doing}: that was not written; everything before it is kept",
            path.display()
        ),
        "make room on the disk, then repeat",
    )
}

/// What the system says about reaching a file.
pub(crate) fn io(path: &Path, doing: &str, error: &std::io::Error) -> StoreError {
    use std::io::ErrorKind as Io;
    match error.kind() {
        Io::NotFound => file(
            path,
            Cause::Missing,
            format!("there is no file {}", path.display()),
            "look at the name, or make a new workbook there",
        ),
        Io::AlreadyExists => exists(path),
        Io::PermissionDenied => file(
            path,
            Cause::Denied,
            format!(
                "{}: {doing} is not permitted{}; nothing was changed",
                path.display(),
                whose(path)
            ),
            "ask its owner, or copy it to a folder of yours",
        ),
        Io::ReadOnlyFilesystem => read_only(path, "its disk"),
        Io::StorageFull | Io::QuotaExceeded => full(path, doing),
        _ => file(
            path,
            Cause::Other,
            format!("{}: {doing} failed: {error}; nothing was changed", path.display()),
            "",
        ),
    }
}

/// A file was to be made where there is something.
pub(crate) fn exists(path: &Path) -> StoreError {
    StoreError {
        kind: ErrorKind::User,
        cause: Cause::Exists,
        sentence: format!("{} is there already; nothing was changed", path.display()),
        path: path.to_owned(),
        hint: Some("choose another name, or open what is there".to_owned()),
    }
}

fn sql(path: &Path, doing: &str, error: &rusqlite::Error) -> StoreError {
    let internal = || StoreError {
        kind: ErrorKind::Internal,
        cause: Cause::Other,
        sentence: format!("{}: {doing} failed: {error}; nothing was changed", path.display()),
        path: path.to_owned(),
        hint: None,
    };
    match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => file(
            path,
            Cause::Busy,
            format!(
                "{} is locked by another process while {doing}; nothing was changed",
                path.display()
            ),
            "wait for the other process to finish or close it, then repeat",
        ),
        Some(ErrorCode::DiskFull) => full(path, doing),
        Some(ErrorCode::ReadOnly) => read_only(path, "the file or its folder"),
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => damaged(path, &error.to_string()),
        Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => file(
            path,
            Cause::Denied,
            format!(
                "{} cannot be opened ({error}); nothing was changed",
                path.display()
            ),
            "look whether the file and its folder may be read and written",
        ),
        Some(ErrorCode::SystemIoFailure) => file(
            path,
            Cause::Other,
            format!(
                "the disk of {} reports an error while {doing} ({error}); that was not written",
                path.display()
            ),
            "copy the file and those beside it to another disk",
        ),
        _ => internal(),
    }
}
