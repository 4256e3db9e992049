//! A first look at a file, without SQLite: is it ours, is it too new, was it left in order?

use std::{
    ffi::OsString,
    fs::{self, File},
    io::{self, Read},
    path::{Path, PathBuf},
};

use crate::{
    error::{self, Cause, StoreError},
    schema::APPLICATION_ID,
};

/// What the first 100 bytes of a file and the files beside it tell (<https://sqlite.org/fileformat.html>, section 1.3).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Look {
    /// Version of its tables.
    pub version: i32,
    /// Whether changes go to a file beside it first.
    pub wal_mode: bool,
    /// Whether there is such a file and it is not empty.
    pub wal: bool,
    /// Whether there is a journal to roll back.
    pub journal: bool,
}

impl Look {
    /// Whether a process died over it or another has it open.
    pub(crate) fn unclean(&self) -> bool {
        self.wal || self.journal
    }
}

/// Looks at the file at `path`.
///
/// # Errors
/// There is none, it may not be read, or it is no workbook.
pub(crate) fn look(path: &Path) -> Result<Look, StoreError> {
    let facts = fs::metadata(path).map_err(|e| error::io(path, "reading it", &e))?;
    if facts.is_dir() {
        return Err(no_workbook(path, "it is a folder"));
    }
    if !facts.is_file() {
        return Err(no_workbook(path, "it is not a file"));
    }
    let head = head(path).map_err(|e| error::io(path, "reading it", &e))?;
    if facts.len() == 0 {
        return Err(no_workbook(path, "it is empty"));
    }
    let Some(head) = head.filter(|head| head.starts_with(b"SQLite format 3\0")) else {
        return Err(no_workbook(path, "it is another kind of file"));
    };
    let application = number(&head, 68);
    if application != APPLICATION_ID {
        return Err(no_workbook(
            path,
            &format!("it is a SQLite file of another program (application id {application:#010x})"),
        ));
    }
    let filled = |suffix| fs::metadata(beside(path, suffix)).is_ok_and(|facts| facts.len() > 0);
    Ok(Look {
        version: number(&head, 60),
        wal_mode: head.get(18..20) == Some(&[2, 2]),
        wal: filled("-wal"),
        journal: filled("-journal"),
    })
}

/// The path with something added to its name.
pub(crate) fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = OsString::from(path);
    name.push(suffix);
    name.into()
}

/// The folder a file is in.
pub(crate) fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

fn head(path: &Path) -> io::Result<Option<[u8; 100]>> {
    let mut head = [0; 100];
    match File::open(path)?.read_exact(&mut head) {
        Ok(()) => Ok(Some(head)),
        Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => Ok(None),
        Err(e) => Err(e),
    }
}

fn number(head: &[u8; 100], at: usize) -> i32 {
    head.get(at..)
        .and_then(|rest| rest.first_chunk::<4>())
        .map_or(0, |bytes| i32::from_be_bytes(*bytes))
}

fn no_workbook(path: &Path, what: &str) -> StoreError {
    let spoilt = path.is_file() && path.extension().is_some_and(|end| end == "crimpbook");
    error::file(
        path,
        Cause::NotAWorkbook,
        format!(
            "{} is not a workbook: {what}; nothing was changed",
            path.display()
        ),
        if spoilt {
            "look what it is; if it was a workbook, its first page is damaged: crimpbook salvage saves what can still be read of it"
        } else {
            "look at the name; workbooks end in .crimpbook"
        },
    )
}

/// Refuses a file whose tables are of no version up to `known`.
pub(crate) fn known_version(path: &Path, found: i32, known: i32) -> Result<(), StoreError> {
    if (1..=known).contains(&found) {
        return Ok(());
    }
    if found < 1 {
        return Err(error::damaged(
            path,
            &format!("its tables are of no version ({found})"),
        ));
    }
    Err(error::file(
        path,
        Cause::Newer,
        format!(
            "{} was written by a newer crimpbook: its tables are version {found}, this program knows up to {known}; \
             nothing was changed",
            path.display()
        ),
        "open it with the newer program, or ask for an export",
    ))
}

/// Which file this is to the system, whatever its name.
#[cfg(unix)]
#[allow(clippy::unnecessary_wraps, reason = "not every system can tell")]
pub(crate) fn identity(facts: &fs::Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    Some((facts.dev(), facts.ino()))
}

/// Which file this is to the system: not known here.
#[cfg(not(unix))]
pub(crate) fn identity(_facts: &fs::Metadata) -> Option<(u64, u64)> {
    None
}
