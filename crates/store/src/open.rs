//! Opening a file.

use std::{
    fs::{self, OpenOptions},
    path::{Path, PathBuf},
};

use rusqlite::{Connection, config::DbConfig};
use tempfile::TempDir;

use crimpbook_workbook::{Book, log::EntryHead};

use crate::{
    connect,
    error::{self, StoreError, Trouble},
    load::{self, Head},
    look::{self, Look},
    migrate,
    schema::STEPS,
    watch,
};

/// An open file.
#[derive(Debug)]
pub struct Store {
    pub(crate) db: Connection,
    pub(crate) path: PathBuf,
    pub(crate) access: Access,
    /// Where the log ends as this process knows it.
    pub(crate) head: Head,
    /// SQLite's count of what other connections did, when last looked at.
    pub(crate) seen: i64,
    /// Which file it is to the system, where that can be told.
    pub(crate) identity: Option<(u64, u64)>,
    /// Whether it was put in order for closing.
    pub(crate) settled: bool,
    /// The copy that is read in place of the file; goes last.
    _scratch: Option<TempDir>,
}

/// What may be done with an open file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Access {
    /// Reading only.
    Read,
    /// Writing; the file is as it was found.
    Write,
    /// Writing; the file is ready for changes.
    Ready,
}

/// A file that was opened, with what is in it.
#[derive(Debug)]
pub struct Opened {
    /// The file.
    pub store: Store,
    /// The workbook.
    pub book: Book,
    /// The log's entries without their records, in order.
    pub heads: Vec<EntryHead>,
}

/// A file that is open for writing and not read yet.
#[derive(Debug)]
pub struct Begun {
    pub(crate) db: Connection,
    pub(crate) path: PathBuf,
}

impl Begun {
    /// Reads all of it.
    ///
    /// # Errors
    /// It is damaged, or held by another process.
    pub fn read(self) -> Result<Opened, StoreError> {
        let Self { db, path } = self;
        let opened = Store::with(db, &path, Access::Write, None)?;
        // All of it could be read: from here on closing may tidy up.
        opened
            .store
            .db
            .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)
            .map_err(|e| Trouble::from(e).at(&path, "opening it"))?;
        Ok(opened)
    }
}

impl Store {
    /// Opens a file for writing and reads it. Nothing is written until the first change, unless its tables are of an older version: then
    /// a copy is kept beside it (`NAME.before-vN`) and they are brought up to date.
    ///
    /// # Errors
    /// There is none, it is no workbook, it is newer than this program, damaged, not to be written, or held by another process.
    pub fn open(path: &Path) -> Result<Opened, StoreError> {
        Self::open_with(path, STEPS)
    }

    pub(crate) fn open_with(path: &Path, steps: &[&str]) -> Result<Opened, StoreError> {
        Self::begin_with(path, steps)?.read()
    }

    /// As [`Store::open`], but leaves reading the records to [`Begun::read`], which may take a while. All that can be told of the
    /// file as a whole is told here.
    ///
    /// # Errors
    /// As [`Store::open`], but for damage that only reading the records shows.
    pub fn begin(path: &Path) -> Result<Begun, StoreError> {
        Self::begin_with(path, STEPS)
    }

    fn begin_with(path: &Path, steps: &[&str]) -> Result<Begun, StoreError> {
        let look = look::look(path)?;
        look::known_version(path, look.version, migrate::version_of(steps))?;
        may_write(path)?;
        if look.unclean() {
            inspect(path, &look, steps)?;
        }
        let at = |trouble: Trouble| trouble.at(path, "opening it");
        let db = connect::writing(path).map_err(at)?;
        if db.is_readonly("main").map_err(|e| at(e.into()))? {
            return Err(error::read_only(path, "the file"));
        }
        migrate::bring_up(&db, path, steps)?;
        Ok(Begun {
            db,
            path: path.to_owned(),
        })
    }

    /// Opens a file for reading. Nothing is written, neither to it nor beside it; its folder may be read-only. What a process that
    /// died left beside it is read as well. An older version is brought up to date in a scratch copy.
    ///
    /// # Errors
    /// There is none, it is no workbook, it is newer than this program, damaged, not to be read, or held by another process.
    pub fn open_read_only(path: &Path) -> Result<Opened, StoreError> {
        Self::open_read_only_with(path, STEPS)
    }

    pub(crate) fn open_read_only_with(path: &Path, steps: &[&str]) -> Result<Opened, StoreError> {
        let look = look::look(path)?;
        look::known_version(path, look.version, migrate::version_of(steps))?;
        let (db, scratch) = inspect(path, &look, steps)?;
        let at = |trouble: Trouble| trouble.at(path, "opening it");
        if connect::version(&db).map_err(at)? == migrate::version_of(steps) {
            return Self::with(db, path, Access::Read, scratch);
        }
        drop(db);
        let (db, scratch) = connect::copied(path)?;
        migrate::steps_up(&db, steps).map_err(at)?;
        Self::with(db, path, Access::Read, Some(scratch))
    }

    fn with(
        db: Connection,
        path: &Path,
        access: Access,
        scratch: Option<TempDir>,
    ) -> Result<Opened, StoreError> {
        let at = |trouble: Trouble| trouble.at(path, "reading it");
        let seen = watch::data_version(&db).map_err(at)?;
        let (book, heads, head) = load::load(&db).map_err(as_damage).map_err(at)?;
        let store = Self {
            db,
            path: path.to_owned(),
            access,
            head,
            seen,
            identity: fs::metadata(path).ok().as_ref().and_then(look::identity),
            settled: false,
            _scratch: scratch,
        };
        Ok(Opened { store, book, heads })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Where the log ends as this process knows it.
    pub fn head(&self) -> Head {
        self.head
    }

    /// Whether it is open for reading only.
    pub fn is_read_only(&self) -> bool {
        self.access == Access::Read
    }
}

/// A connection that changes nothing, after a look over the whole file where a process died over it.
fn inspect(path: &Path, look: &Look, steps: &[&str]) -> Result<(Connection, Option<TempDir>), StoreError> {
    let (db, scratch) = connect::reading(path, look)?;
    let at = |trouble: Trouble| trouble.at(path, "looking it over");
    if look.unclean() {
        connect::check(&db).map_err(at)?;
    }
    let version = connect::version(&db).map_err(at)?;
    look::known_version(path, version, migrate::version_of(steps))?;
    Ok((db, scratch))
}

/// The file and its folder may be written: SQLite keeps files of its own beside it while it works.
fn may_write(path: &Path) -> Result<(), StoreError> {
    use std::io::ErrorKind::{PermissionDenied, ReadOnlyFilesystem};
    let refused = |what: &str, e: std::io::Error| match e.kind() {
        PermissionDenied | ReadOnlyFilesystem => error::read_only(path, what),
        _ => error::io(path, "opening it for writing", &e),
    };
    OpenOptions::new()
        .write(true)
        .open(path)
        .map_err(|e| refused("the file", e))?;
    // An unnamed file that is gone at once: the mode bits do not tell the whole truth.
    tempfile::tempfile_in(look::folder(path)).map_err(|e| refused("its folder", e))?;
    Ok(())
}

/// A table or column that is missing from a file that says it is ours is damage, not a fault of the program.
pub(crate) fn as_damage(trouble: Trouble) -> Trouble {
    match trouble {
        Trouble::Sql(error) if error.sqlite_error_code() == Some(rusqlite::ErrorCode::Unknown) => {
            Trouble::Damaged(error.to_string())
        }
        other => other,
    }
}
