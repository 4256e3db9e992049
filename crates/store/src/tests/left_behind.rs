//! What a process that died left beside the file.

use std::fs;

use rusqlite::Connection;

use super::samples::{Place, bytes, entry, make, zone};
use crate::{Cause, Store};

/// A folder as it stands while a workbook with three zones is open and the third is only in the file beside it.
fn died(keep_index: bool) -> Place {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let crashed = Place::new();
    for name in place.files() {
        if keep_index || !name.ends_with("-shm") {
            fs::copy(place.beside(&name), crashed.beside(&name)).unwrap();
        }
    }
    crashed
}

fn contents(place: &Place) -> Vec<(String, Vec<u8>)> {
    let files = place.files().into_iter();
    files
        .map(|name| (name.clone(), bytes(&place.beside(&name))))
        .collect()
}

#[test]
fn reading_takes_it_in_and_leaves_no_trace() {
    for keep_index in [true, false] {
        let place = died(keep_index);
        let before = contents(&place);
        assert_eq!(before.len(), 2 + usize::from(keep_index));
        let mut opened = Store::open_read_only(&place.path()).unwrap();
        assert_eq!(opened.book.tables().zones.len(), 3);
        opened.store.verify().unwrap();
        let error = opened.store.commit(&entry(3, vec![])).unwrap_err();
        assert_eq!(error.cause, Cause::ReadOnly);
        opened.store.close().unwrap();
        assert!(contents(&place) == before, "keep_index {keep_index}");
    }
}

#[test]
fn opening_takes_it_in_and_closing_leaves_one_file() {
    for keep_index in [true, false] {
        let place = died(keep_index);
        let opened = Store::open(&place.path()).unwrap();
        assert_eq!(opened.book.tables().zones.len(), 3);
        opened.store.close().unwrap();
        assert_eq!(place.files(), ["car.crimpbook"]);
        assert_eq!(bytes(&place.path())[18..20], [1, 1]);
        Store::open(&place.path()).unwrap().store.verify().unwrap();
    }
}

#[test]
fn damage_beneath_it_is_found_and_nothing_is_touched() {
    let place = died(true);
    let mut spoilt = bytes(&place.path());
    let at = spoilt.len() - 4096;
    spoilt[at..].fill(0x5a);
    fs::write(place.path(), spoilt).unwrap();
    let before = contents(&place);
    for open in [Store::open, Store::open_read_only] {
        assert_eq!(open(&place.path()).unwrap_err().cause, Cause::Damaged);
        assert!(contents(&place) == before);
    }
}

#[test]
fn a_journal_is_rolled_back() {
    let place = Place::new();
    let path = place.made_and_closed();
    let crashed = Place::new();
    let db = Connection::open(&path).unwrap();
    // A small cache, so that half of the transaction is in the file already.
    db.execute_batch(
        "PRAGMA cache_size = 1; BEGIN IMMEDIATE; DELETE FROM zones;
         WITH RECURSIVE n(i) AS (SELECT 10 UNION ALL SELECT i + 1 FROM n WHERE i < 2000)
         INSERT INTO zones (id, label, ambient_c, wet, note) SELECT i, 'zone ' || i, 1.0, 0, '' FROM n;",
    )
    .unwrap();
    for name in place.files() {
        fs::copy(place.beside(&name), crashed.beside(&name)).unwrap();
    }
    drop(db);
    assert_eq!(crashed.files(), ["car.crimpbook", "car.crimpbook-journal"]);
    let before = contents(&crashed);
    let read = Store::open_read_only(&crashed.path()).unwrap();
    assert_eq!(read.book.tables().zones.len(), 2);
    drop(read);
    assert!(contents(&crashed) == before);
    let opened = Store::open(&crashed.path()).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 2);
    opened.store.close().unwrap();
    assert_eq!(crashed.files(), ["car.crimpbook"]);
}

#[test]
fn a_name_that_needs_quoting_is_no_obstacle() {
    let place = died(true);
    for name in place.files() {
        let odd = name.replace("car", "file:car #1?mode=memory%20\u{e4}");
        fs::rename(place.beside(&name), place.beside(&odd)).unwrap();
    }
    let odd = place.beside("file:car #1?mode=memory%20\u{e4}.crimpbook");
    assert_eq!(Store::open_read_only(&odd).unwrap().book.tables().zones.len(), 3);
    assert_eq!(Store::open(&odd).unwrap().book.tables().zones.len(), 3);
    assert_eq!(place.files().len(), 1);
}
