//! Small workbooks and entries for tests.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crimpbook_workbook::{
    edit::Change,
    log::{ENTRY_SCHEMA, Entry, EntryKind},
    model::{Id, Record, Row, Zone},
};

use crate::{Opened, Store};

/// A scratch folder with a place for a workbook.
pub(crate) struct Place {
    folder: TempDir,
}

impl Place {
    /// In memory where there is such a place: what these tests show does not hang on a disk's syncs.
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir());
        Self {
            folder: folder.unwrap(),
        }
    }

    pub(crate) fn path(&self) -> PathBuf {
        self.folder.path().join("car.crimpbook")
    }

    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Names of the files in the folder, in order.
    pub(crate) fn files(&self) -> Vec<String> {
        let mut names: Vec<_> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// A workbook with two zones, open.
    pub(crate) fn made(&self) -> Opened {
        Store::create(
            &self.path(),
            &[entry(1, vec![make(zone(1, "cabin")), make(zone(2, "bay"))])],
        )
        .unwrap()
    }

    /// A workbook with two zones, closed.
    pub(crate) fn made_and_closed(&self) -> PathBuf {
        self.made().store.close().unwrap();
        self.path()
    }
}

pub(crate) fn zone(id: u128, label: &str) -> Zone {
    Zone {
        id: Id::from_bits(id),
        label: label.to_owned(),
        ambient_c: Some(85.0),
        wet: false,
        plan: None,
        note: String::new(),
    }
}

pub(crate) fn make(row: impl Row) -> Change {
    Change::make(row)
}

pub(crate) fn made(record: Record) -> Change {
    Change {
        before: None,
        after: Some(record),
    }
}

/// An entry whose id and time follow from `n`.
pub(crate) fn entry(n: u128, changes: Vec<Change>) -> Entry {
    Entry {
        schema: ENTRY_SCHEMA,
        id: Id::from_bits(1000 + n),
        at: format!("2026-03-01T09:{:02}:00Z", n % 60).parse().unwrap(),
        who: "anna".to_owned(),
        kind: if n == 1 {
            EntryKind::Creation
        } else {
            EntryKind::Design
        },
        title: format!("entry {n}"),
        why: String::new(),
        of: None,
        revision: None,
        changes,
        merged: None,
    }
}

/// All bytes of a file.
pub(crate) fn bytes(path: &Path) -> Vec<u8> {
    std::fs::read(path).unwrap()
}
