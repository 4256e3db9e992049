//! What is refused, with a sentence, and left byte for byte as it was.

use std::{fs, path::Path};

use rusqlite::Connection;

use super::{
    generate::Dice,
    samples::{Place, bytes, entry, make, zone},
};
use crate::{Cause, ErrorKind, Store, StoreError};

/// Both ways of opening refuse the file for the same reason and leave the folder as it was.
fn refused(place: &Place) -> StoreError {
    let path = place.path();
    let (before, files) = (fs::read(&path).ok(), place.files());
    let read = Store::open_read_only(&path).unwrap_err();
    assert_eq!(
        (fs::read(&path).ok(), place.files()),
        (before.clone(), files.clone())
    );
    let write = Store::open(&path).unwrap_err();
    assert_eq!((fs::read(&path).ok(), place.files()), (before, files));
    assert_eq!(read, write);
    assert_eq!(write.path, path);
    assert_eq!(write.kind, ErrorKind::File, "{write:?}");
    assert!(write.hint.is_some(), "{write:?}");
    write
}

/// The sentence without the scratch folder.
fn sentence(error: &StoreError) -> String {
    error.sentence.replace(error.path.to_str().unwrap(), "FILE")
}

fn alter(path: &Path, sql: &str) {
    let db = Connection::open(path).unwrap();
    db.execute_batch(sql).unwrap();
    db.close().unwrap();
}

#[test]
fn what_is_not_there() {
    let error = refused(&Place::new());
    assert_eq!(error.cause, Cause::Missing);
    assert_eq!(sentence(&error), "there is no file FILE");
}

#[test]
fn what_is_no_workbook() {
    type Put = fn(&Path);
    let cases: [(Put, &str); 4] = [
        (|path| fs::create_dir(path).unwrap(), "it is a folder"),
        (|path| fs::write(path, "").unwrap(), "it is empty"),
        (
            |path| fs::write(path, "a,b\n1,2\n".repeat(100)).unwrap(),
            "it is another kind of file",
        ),
        (
            |path| fs::write(path, "SQLite format 3\0").unwrap(),
            "it is another kind of file",
        ),
    ];
    for (put, why) in cases {
        let place = Place::new();
        put(&place.path());
        let error = refused(&place);
        assert_eq!(error.cause, Cause::NotAWorkbook);
        assert_eq!(
            sentence(&error),
            format!("FILE is not a workbook: {why}; nothing was changed")
        );
    }
}

#[test]
fn a_database_of_another_program() {
    let place = Place::new();
    alter(
        &place.path(),
        "PRAGMA application_id = 17; CREATE TABLE zones (id)",
    );
    let error = refused(&place);
    assert_eq!(error.cause, Cause::NotAWorkbook);
    assert_eq!(
        sentence(&error),
        "FILE is not a workbook: it is a SQLite file of another program (application id 0x00000011); nothing was changed"
    );
}

#[test]
fn a_newer_workbook() {
    let place = Place::new();
    alter(&place.made_and_closed(), "PRAGMA user_version = 99");
    let error = refused(&place);
    assert_eq!(error.cause, Cause::Newer);
    assert_eq!(
        sentence(&error),
        format!(
            "FILE was written by a newer crimpbook: its tables are version 99, this program knows up to {}; nothing was changed",
            crate::schema::VERSION
        )
    );
}

#[test]
fn a_newer_workbook_whose_writer_died() {
    let place = Place::new();
    let path = place.made_and_closed();
    let other = Place::new();
    let db = Connection::open(&path).unwrap();
    db.execute_batch("PRAGMA journal_mode = WAL; PRAGMA user_version = 99")
        .unwrap();
    for name in place.files() {
        fs::copy(place.beside(&name), other.beside(&name)).unwrap();
    }
    drop(db);
    assert_eq!(refused(&other).cause, Cause::Newer);
}

#[test]
fn a_workbook_that_was_cut_off() {
    for keep in [100, 4096, 4097, 9000, 40_960] {
        let place = Place::new();
        let path = place.made_and_closed();
        let mut rest = bytes(&path);
        assert!(rest.len() > keep);
        rest.truncate(keep);
        fs::write(&path, rest).unwrap();
        assert_eq!(refused(&place).cause, Cause::Damaged, "{keep} bytes");
    }
}

#[test]
fn a_workbook_with_a_spoilt_page() {
    let place = Place::new();
    let path = place.made_and_closed();
    let mut spoilt = bytes(&path);
    spoilt[4096..].fill(0x5a);
    fs::write(&path, spoilt).unwrap();
    assert_eq!(refused(&place).cause, Cause::Damaged);
}

#[test]
fn a_workbook_without_one_of_its_tables() {
    let place = Place::new();
    alter(&place.made_and_closed(), "DROP TABLE readings");
    let error = refused(&place);
    assert_eq!(error.cause, Cause::Damaged);
    assert!(sentence(&error).contains("no such table: readings"), "{error}");
    let place = Place::new();
    alter(&place.made_and_closed(), "PRAGMA user_version = 0");
    assert_eq!(refused(&place).cause, Cause::Damaged);
}

#[test]
fn a_row_that_cannot_be_understood_is_named() {
    let place = Place::new();
    alter(
        &place.made_and_closed(),
        "INSERT INTO rules VALUES ('r7', 'I1', 'never', '', 'hope', '')",
    );
    let error = refused(&place);
    assert_eq!(error.cause, Cause::Damaged);
    assert_eq!(
        sentence(&error),
        "FILE is damaged: row r7 of table rules cannot be understood (unknown variant `hope`, expected one of `wiring`, \
         `setting`, `firmware`, `time`); nothing was changed"
    );
}

#[test]
fn spoilt_bytes_are_refused_or_harmless_but_never_a_panic_and_never_written() {
    let place = Place::new();
    let mut store = place.made().store;
    for n in 2..20 {
        store
            .commit(&entry(n, vec![make(zone(n + 1, &format!("zone {n}")))]))
            .unwrap();
    }
    store.close().unwrap();
    let whole = bytes(&place.path());
    let mut refusals = 0;
    for seed in 0..60 {
        let mut dice = Dice::new(seed);
        let mut spoilt = whole.clone();
        for _ in 0..=dice.below(40) {
            let at = dice.below(spoilt.len());
            spoilt[at] = dice.below(256) as u8;
        }
        let place = Place::new();
        fs::write(place.path(), &spoilt).unwrap();
        for open in [Store::open, Store::open_read_only] {
            match open(&place.path()) {
                Ok(opened) => drop(opened.store.verify()),
                Err(error) => {
                    assert_ne!(error.kind, ErrorKind::Internal, "{seed}: {error:?}");
                    refusals += 1;
                }
            }
            assert!(bytes(&place.path()) == spoilt, "{seed}: it was written");
            assert_eq!(place.files(), ["car.crimpbook"]);
        }
    }
    assert!(refusals > 10, "{refusals}");
}

#[test]
fn making_a_workbook_never_overwrites() {
    let place = Place::new();
    fs::write(place.path(), "mine").unwrap();
    let error = Store::create(&place.path(), &[entry(1, vec![])]).unwrap_err();
    assert_eq!((error.kind, error.cause), (ErrorKind::User, Cause::Exists));
    assert_eq!(sentence(&error), "FILE is there already; nothing was changed");
    assert_eq!(bytes(&place.path()), b"mine");
    assert_eq!(place.files(), ["car.crimpbook"]);
}

#[test]
fn making_a_workbook_fails_whole() {
    let place = Place::new();
    let twice = [
        entry(1, vec![make(zone(1, "cabin"))]),
        entry(2, vec![make(zone(1, "cabin"))]),
    ];
    let error = Store::create(&place.path(), &twice).unwrap_err();
    assert!(error.sentence.contains("entry 2 of the log"), "{error}");
    assert_eq!(place.files(), Vec::<String>::new());

    let nowhere = place.beside("none").join("car.crimpbook");
    let error = Store::create(&nowhere, &[entry(1, vec![])]).unwrap_err();
    assert_eq!(error.cause, Cause::Missing);
    assert!(error.sentence.starts_with("there is no folder "), "{error}");
}
