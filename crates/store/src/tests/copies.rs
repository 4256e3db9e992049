//! The copies of a workbook, and one of them in its place.

use std::{fs, path::PathBuf};

use super::samples::{Place, bytes, entry, make, zone};
use crate::{COPIES_KEPT, Cause, Store, copies, restore};

fn days(place: &Place) -> Vec<String> {
    copies(&place.path()).into_iter().map(|copy| copy.day).collect()
}

fn copy(place: &Place, day: &str) -> PathBuf {
    place
        .beside("car.crimpbook.copies")
        .join(format!("{day}.crimpbook"))
}

/// A store with a change more than before.
fn changed(store: &mut Store, n: u128) {
    let made = make(zone(100 + n, &format!("zone {n}")));
    store.commit(&entry(10 + n, vec![made])).unwrap();
}

#[test]
fn a_day_has_one_copy_and_one_that_would_hold_nothing_new_is_not_made() {
    let place = Place::new();
    let mut store = place.made().store;
    let aside = store.aside();
    assert_eq!(
        aside.keep_copy("2026-03-01").unwrap(),
        Some(copy(&place, "2026-03-01"))
    );
    assert_eq!(aside.keep_copy("2026-03-01").unwrap(), None, "it has one");
    assert_eq!(aside.keep_copy("2026-03-02").unwrap(), None, "nothing new");
    changed(&mut store, 1);
    assert_eq!(aside.keep_copy("2026-03-01").unwrap(), None, "it has one still");
    assert!(aside.keep_copy("2026-03-03").unwrap().is_some());
    assert_eq!(days(&place), ["2026-03-01", "2026-03-03"]);
    let opened = Store::open_read_only(&copy(&place, "2026-03-03")).unwrap();
    assert_eq!(opened.store.verify().unwrap(), store.verify().unwrap());
    // The store on whose side all this happened still has its locks and writes.
    changed(&mut store, 2);
    store.verify().unwrap();
}

#[test]
fn the_oldest_copies_go_and_what_is_none_stays() {
    let place = Place::new();
    let mut store = place.made().store;
    fs::create_dir(place.beside("car.crimpbook.copies")).unwrap();
    let note = place.beside("car.crimpbook.copies").join("read me.txt");
    fs::write(&note, "mine").unwrap();
    for day in 1..=12 {
        changed(&mut store, day);
        store.aside().keep_copy(&format!("2026-03-{day:02}")).unwrap();
    }
    assert_eq!(days(&place).len(), COPIES_KEPT);
    assert_eq!(days(&place)[0], "2026-03-06");
    assert_eq!(fs::read(note).unwrap(), b"mine");
}

#[test]
fn a_clock_that_was_set_back_costs_no_copy_that_was_just_made() {
    let place = Place::new();
    let mut store = place.made().store;
    for day in 1..=9 {
        changed(&mut store, day);
        store.aside().keep_copy(&format!("2026-03-{day:02}")).unwrap();
    }
    changed(&mut store, 20);
    assert!(store.aside().keep_copy("2020-01-01").unwrap().is_some());
    assert_eq!(days(&place).len(), COPIES_KEPT);
    assert_eq!(days(&place)[0], "2020-01-01");
}

#[test]
fn a_copy_takes_the_place_and_what_was_there_is_moved_aside() {
    let place = Place::new();
    let mut store = place.made().store;
    store.aside().keep_copy("2026-03-01").unwrap();
    changed(&mut store, 1);
    store.close().unwrap();
    fs::write(place.path(), "spoilt").unwrap();
    fs::write(place.beside("car.crimpbook-wal"), "what lay beside it").unwrap();

    let restored = restore(&place.path(), &copy(&place, "2026-03-01")).unwrap();
    assert_eq!(restored.aside, Some(place.beside("car.crimpbook.replaced-1")));
    assert_eq!(restored.verified.head.seq, 1);
    assert_eq!(
        place.files(),
        [
            "car.crimpbook",
            "car.crimpbook.copies",
            "car.crimpbook.replaced-1",
            "car.crimpbook.replaced-1-wal"
        ]
    );
    assert_eq!(bytes(&place.beside("car.crimpbook.replaced-1")), b"spoilt");
    let opened = Store::open(&place.path()).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 2);
    opened.store.close().unwrap();

    let again = restore(&place.path(), &copy(&place, "2026-03-01")).unwrap();
    assert_eq!(again.aside, Some(place.beside("car.crimpbook.replaced-2")));
}

#[test]
fn a_copy_that_does_not_verify_takes_no_place() {
    let place = Place::new();
    let mut store = place.made().store;
    changed(&mut store, 1);
    store.close().unwrap();
    let bad = place.beside("bad.crimpbook");
    fs::copy(place.path(), &bad).unwrap();
    rusqlite::Connection::open(&bad)
        .unwrap()
        .execute_batch("UPDATE zones SET label = 'elsewhere' WHERE id = '1'")
        .unwrap();
    let before = bytes(&place.path());
    let error = restore(&place.path(), &bad).unwrap_err();
    assert_eq!(error.cause, Cause::Damaged, "{error}");
    assert_eq!(bytes(&place.path()), before);
    assert_eq!(place.files(), ["bad.crimpbook", "car.crimpbook"]);
}

#[test]
fn who_has_it_open_while_it_is_replaced_is_told_and_loses_nothing() {
    let place = Place::new();
    let mut store = place.made().store;
    store.aside().keep_copy("2026-03-01").unwrap();
    changed(&mut store, 1);
    let restored = restore(&place.path(), &copy(&place, "2026-03-01")).unwrap();
    let error = store.commit(&entry(30, vec![make(zone(9, "late"))])).unwrap_err();
    assert!(error.sentence.contains("another file than the one"), "{error}");
    drop(store);
    let aside = Store::open_read_only(&restored.aside.unwrap()).unwrap();
    assert_eq!(
        aside.book.tables().zones.len(),
        3,
        "its change is in what was moved aside"
    );
}

#[cfg(unix)]
#[test]
fn workbooks_and_copies_are_their_builders_alone() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::new();
    let mut store = place.made().store;
    changed(&mut store, 1);
    store.aside().keep_copy("2026-03-01").unwrap();
    let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(place.path()), 0o600);
    assert_eq!(mode(place.beside("car.crimpbook-wal")), 0o600);
    assert_eq!(mode(place.beside("car.crimpbook.copies")), 0o700);
    assert_eq!(mode(copy(&place, "2026-03-01")), 0o600);
}
