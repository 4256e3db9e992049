//! Several writers, who never overwrite each other.

use std::time::Duration;

use rusqlite::Connection;

use super::samples::{Place, entry, make, zone};
use crate::{Cause, ErrorKind, Store};

#[test]
fn a_change_on_a_stale_view_is_refused_and_goes_through_after_looking_again() {
    let place = Place::new();
    let mut one = place.made().store;
    let mut other = Store::open(&place.path()).unwrap().store;
    assert!(!other.changed_elsewhere().unwrap());
    one.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    assert!(!one.changed_elsewhere().unwrap(), "not by itself");
    assert!(other.changed_elsewhere().unwrap());

    let error = other.commit(&entry(3, vec![make(zone(4, "boot"))])).unwrap_err();
    assert_eq!((error.kind, error.cause), (ErrorKind::User, Cause::MovedOn));
    assert_eq!(
        error.sentence,
        "another process changed the workbook meanwhile: nothing was written"
    );
    let (book, heads) = other.reload().unwrap();
    assert_eq!((book.tables().zones.len(), heads.len()), (3, 2));
    assert!(!other.changed_elsewhere().unwrap());
    other.commit(&entry(3, vec![make(zone(4, "boot"))])).unwrap();
    assert!(one.changed_elsewhere().unwrap());
    assert_eq!(one.reload().unwrap().0.tables().zones.len(), 4);
    one.verify().unwrap();
}

#[test]
fn the_last_to_close_leaves_one_file() {
    let place = Place::new();
    let mut one = place.made().store;
    let mut other = Store::open(&place.path()).unwrap().store;
    one.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    other.reload().unwrap();
    one.close().unwrap();
    other.commit(&entry(3, vec![make(zone(4, "boot"))])).unwrap();
    other.close().unwrap();
    assert_eq!(place.files(), ["car.crimpbook"]);
    Store::open(&place.path()).unwrap().store.verify().unwrap();
}

#[test]
fn a_reader_beside_a_writer_sees_the_last_change_and_leaves_nothing() {
    let place = Place::new();
    let mut writer = place.made().store;
    writer.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let files = place.files();
    let reader = Store::open_read_only(&place.path()).unwrap();
    assert_eq!(reader.book.tables().zones.len(), 3);
    writer.commit(&entry(3, vec![make(zone(4, "boot"))])).unwrap();
    reader.store.verify().unwrap();
    drop(reader);
    assert_eq!(place.files(), files);
    writer.close().unwrap();
    assert_eq!(place.files(), ["car.crimpbook"]);
}

#[test]
fn a_lock_of_another_process_is_told_plainly() {
    let place = Place::new();
    let mut store = place.made().store;
    store.get_ready().unwrap();
    store.db.busy_timeout(Duration::ZERO).unwrap();
    let other = Connection::open(place.path()).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let change = entry(2, vec![make(zone(3, "roof"))]);
    let error = store.commit(&change).unwrap_err();
    assert_eq!((error.kind, error.cause), (ErrorKind::File, Cause::Busy));
    assert!(
        error
            .sentence
            .contains("locked by another process while writing a change"),
        "{error}"
    );
    other.execute_batch("COMMIT").unwrap();
    store.commit(&change).unwrap();
}

#[test]
fn a_row_that_was_altered_past_the_log_is_not_overwritten() {
    let place = Place::new();
    let mut store = place.made().store;
    let other = Connection::open(place.path()).unwrap();
    other
        .execute_batch("UPDATE zones SET ambient_c = 90.0 WHERE id = '1'")
        .unwrap();
    let (before, mut after) = (zone(1, "cabin"), zone(1, "cabin"));
    after.wet = true;
    let change = crimpbook_workbook::edit::Change::replace(before, after);
    let error = store.commit(&entry(2, vec![change])).unwrap_err();
    assert_eq!(error.cause, Cause::MovedOn);
    assert_eq!(
        error.sentence,
        "the zone cabin is not as it was when you looked: nothing was written"
    );
}

#[test]
fn a_file_that_was_brought_to_a_newer_version_meanwhile_is_not_written() {
    let place = Place::new();
    let mut store = place.made().store;
    let other = Connection::open(place.path()).unwrap();
    let newer = crate::schema::VERSION + 1;
    other
        .execute_batch(&format!("PRAGMA user_version = {newer}"))
        .unwrap();
    let error = store.commit(&entry(2, vec![])).unwrap_err();
    assert_eq!(error.cause, Cause::MovedOn);
    assert!(error.sentence.contains(&format!("version {newer}")), "{error}");
}

#[test]
fn a_file_that_was_moved_away_or_replaced_swallows_no_change() {
    let place = Place::new();
    let mut store = place.made().store;
    let away = place.beside("away.crimpbook");
    std::fs::rename(place.path(), &away).unwrap();
    assert_eq!(store.commit(&entry(2, vec![])).unwrap_err().cause, Cause::Missing);
    std::fs::copy(&away, place.path()).unwrap();
    let error = store.commit(&entry(2, vec![])).unwrap_err();
    assert_eq!(error.cause, Cause::Missing);
    assert!(
        error
            .sentence
            .contains("another file than the one that was opened"),
        "{error}"
    );
}
