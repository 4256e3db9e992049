//! What is on the disk afterwards.

use std::{fs, io, path::Path};

use chrono::DateTime;
use crimpbook_workbook::{analysis::Snapshot, check::Report, log::Hash, tune::Past};

use super::{WriteError, record_files, write_all};
use crate::{html::RecordInput, sample};

fn files(texts: &[(&str, &str)]) -> Vec<(String, Vec<u8>)> {
    texts
        .iter()
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect()
}

/// Names in a folder and below, sorted.
fn names(folder: &Path) -> Vec<String> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            names.extend(
                super::tests::names(&path)
                    .into_iter()
                    .map(|inner| format!("{name}/{inner}")),
            );
        } else {
            names.push(name);
        }
    }
    names.sort();
    names
}

#[test]
fn files_are_written_and_replaced_and_others_left_alone() {
    let scratch = tempfile::tempdir().unwrap();
    let folder = scratch.path().join("a/b");
    write_all(
        &folder,
        &files(&[("record.html", "old"), ("tables/wires.csv", "w")]),
    )
    .unwrap();
    fs::write(folder.join("mine.txt"), "mine").unwrap();
    write_all(&folder, &files(&[("record.html", "new")])).unwrap();
    assert_eq!(names(&folder), ["mine.txt", "record.html", "tables/wires.csv"]);
    assert_eq!(fs::read_to_string(folder.join("record.html")).unwrap(), "new");
}

#[test]
fn nothing_is_changed_if_one_cannot_be_written() {
    let scratch = tempfile::tempdir().unwrap();
    let folder = scratch.path();
    fs::write(folder.join("record.html"), "old").unwrap();
    fs::create_dir(folder.join("wires.csv")).unwrap();
    let error = write_all(folder, &files(&[("record.html", "new"), ("wires.csv", "w")])).unwrap_err();
    assert!(error.to_string().ends_with("wires.csv is a folder where a file has to go: nothing was written; move it away or choose another folder"));
    assert_eq!(names(folder), ["record.html"]);
    assert_eq!(fs::read_to_string(folder.join("record.html")).unwrap(), "old");
}

#[test]
fn a_file_where_a_folder_is_needed_is_told() {
    let scratch = tempfile::tempdir().unwrap();
    let path = scratch.path().join("notes.txt");
    fs::write(&path, "mine").unwrap();
    for folder in [path.clone(), path.join("below")] {
        let error = write_all(&folder, &files(&[("record.html", "x")])).unwrap_err();
        assert!(
            error
                .to_string()
                .contains("is a file: nothing was written; name a folder"),
            "{error}"
        );
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
}

#[test]
fn folders_made_for_nothing_go_again() {
    let scratch = tempfile::tempdir().unwrap();
    let long = format!("{}/c.csv", "x".repeat(5000));
    write_all(
        &scratch.path().join("new/one"),
        &files(&[("a/b.csv", "x"), (&long, "y")]),
    )
    .unwrap_err();
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 0);
}

#[test]
fn a_full_disk_and_a_read_only_folder_are_told_in_a_sentence() {
    let told = |kind: io::ErrorKind| WriteError::of(Path::new("/stick"), kind.into()).to_string();
    assert_eq!(
        told(io::ErrorKind::StorageFull),
        "the disk is full: nothing was written to /stick; make room and try again"
    );
    assert_eq!(
        told(io::ErrorKind::ReadOnlyFilesystem),
        "/stick may not be written to: nothing was written; choose another folder"
    );
}

#[test]
fn a_record_is_a_page_and_its_tables() {
    let book = sample::book();
    let files = record_files(&RecordInput {
        snapshot: &Snapshot::of(&book),
        heads: &[],
        head: Hash::default(),
        report: &Report::default(),
        since: None,
        past: &Past::default(),
        made_at: DateTime::UNIX_EPOCH,
        program: "crimpbook 0.0.0",
    });
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names[..2], ["record.html", "glovebox.html"]);
    assert!(names.contains(&"tables/wires.csv") && names.contains(&"tables/dictionary.csv"));
}
