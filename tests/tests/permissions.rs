//! Where files and folders may not be written or read, by a person who is not root.

#![cfg(unix)]

use std::{
    fs::{self, Permissions},
    os::unix::{
        fs::{MetadataExt, PermissionsExt},
        process::CommandExt,
    },
    path::{Path, PathBuf},
    process::Command,
};

use crimpbook_store::Store;
use crimpbook_workbook::model::{Id, Record};
use tempfile::TempDir;

/// Nobody's number; root runs the helper under it, since nothing is forbidden to root.
const NOBODY: u32 = 65534;

struct Place {
    folder: TempDir,
    ticker: PathBuf,
}

impl Place {
    /// A folder with a copy of the helper that anybody may run, and a workbook with one tick.
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let ticker = folder.path().join("ticker");
        // By a process of its own: a file that this one writes stays open in what another test starts meanwhile, and a program
        // that is open for writing cannot be run.
        let copied = Command::new("cp")
            .arg(env!("CARGO_BIN_EXE_ticker"))
            .arg(&ticker)
            .status();
        assert!(copied.unwrap().success());
        let place = Self { folder, ticker };
        fs::create_dir(place.shelf()).unwrap();
        allow(place.folder.path(), 0o755);
        allow(&place.ticker, 0o755);
        for args in [&["make"][..], &["tick", "1"]] {
            let mut command = Command::new(&place.ticker);
            let run = command.arg(args[0]).arg(place.path()).args(&args[1..]).output();
            assert!(run.unwrap().status.success());
        }
        place
    }

    fn shelf(&self) -> PathBuf {
        self.folder.path().join("shelf")
    }

    fn path(&self) -> PathBuf {
        self.shelf().join("car.crimpbook")
    }

    /// What the helper says to a person who is not root.
    fn says(&self, args: &[&str]) -> String {
        let mut command = Command::new(&self.ticker);
        command.arg(args[0]).arg(self.path()).args(&args[1..]);
        if self.is_roots() {
            command.uid(NOBODY).gid(NOBODY);
        }
        let said = String::from_utf8(command.output().unwrap().stdout).unwrap();
        said.replace(self.path().to_str().unwrap(), "FILE")
    }

    /// Whether root runs the tests, and the helper as somebody else.
    fn is_roots(&self) -> bool {
        fs::metadata(&self.ticker).unwrap().uid() == 0
    }

    /// What is said of the file's owner.
    fn whose(&self) -> &'static str {
        match self.is_roots() {
            true => ", and the file belongs to another user (number 0)",
            false => "",
        }
    }

    /// Names, contents and times in the shelf.
    fn shelf_as_it_is(&self) -> Vec<(PathBuf, Vec<u8>, i64)> {
        let mut all: Vec<_> = fs::read_dir(self.shelf())
            .unwrap()
            .map(|entry| {
                let path = entry.unwrap().path();
                (
                    path.clone(),
                    fs::read(&path).unwrap(),
                    fs::metadata(&path).unwrap().mtime_nsec(),
                )
            })
            .collect();
        all.sort();
        all
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // Whoever is not root could not tidy up otherwise.
        allow(&self.shelf(), 0o755);
    }
}

fn allow(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_workbook_in_a_read_only_folder_can_be_read_and_says_why_it_cannot_be_written() {
    let place = Place::new();
    for (file, what) in [(0o444, "the file"), (0o666, "its folder")] {
        allow(&place.path(), file);
        allow(&place.shelf(), 0o555);
        let before = place.shelf_as_it_is();
        assert_eq!(place.says(&["look"]), "steps 1\n");
        assert_eq!(
            place.says(&["tick", "1"]),
            format!(
                "ReadOnly: FILE cannot be changed: {what} is read-only{}; nothing was changed\n",
                place.whose()
            )
        );
        assert_eq!(place.shelf_as_it_is(), before);
    }
}

#[test]
fn what_a_dead_process_left_in_a_read_only_folder_is_read() {
    for keep_index in [true, false] {
        let place = Place::new();
        // As it stands while another process has it open.
        let mut store = Store::open(&place.path()).unwrap().store;
        let mut entry = store.entry(2).unwrap();
        entry.id = Id::from_bits(77);
        for change in &mut entry.changes {
            if let Some(Record::StepDone(step)) = &mut change.after {
                step.id = Id::from_bits(77);
            }
        }
        store.commit(&entry).unwrap();
        let left: Vec<_> = place.shelf_as_it_is();
        drop(store);
        for (path, bytes, _) in &left {
            if keep_index || !path.to_str().unwrap().ends_with("-shm") {
                fs::write(path, bytes).unwrap();
                allow(path, 0o444);
            }
        }
        allow(&place.shelf(), 0o555);
        let before = place.shelf_as_it_is();
        assert_eq!(before.len(), 2 + usize::from(keep_index));
        assert_eq!(place.says(&["look"]), "steps 2\n");
        assert_eq!(place.shelf_as_it_is(), before);
    }
}

#[test]
fn a_workbook_that_may_not_be_read() {
    let place = Place::new();
    allow(&place.path(), 0o200);
    for verb in [&["look"][..], &["tick", "1"]] {
        assert_eq!(
            place.says(verb),
            format!(
                "Denied: FILE: reading it is not permitted{}; nothing was changed\n",
                place.whose()
            )
        );
    }
}

#[test]
fn a_folder_where_nothing_may_be_made() {
    let place = Place::new();
    fs::remove_file(place.path()).unwrap();
    allow(&place.shelf(), 0o555);
    assert_eq!(
        place.says(&["make"]),
        "ReadOnly: FILE cannot be made: its folder is read-only\n"
    );
    assert_eq!(place.shelf_as_it_is(), []);
}
