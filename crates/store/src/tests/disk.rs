//! What stands on the disk: the writer's settings, one file at the end, a full disk.

use super::samples::{Place, bytes, entry, made, make, zone};
use crate::{Cause, ErrorKind, Store};

fn pragma(store: &Store, name: &str) -> String {
    store
        .db
        .query_row(&format!("PRAGMA {name}"), [], |row| {
            row.get_ref(0).map(|cell| match cell {
                rusqlite::types::ValueRef::Integer(whole) => whole.to_string(),
                other => other.as_str().unwrap().to_owned(),
            })
        })
        .unwrap()
}

#[test]
fn the_writer_syncs_every_change_and_checks_every_reference() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    assert_eq!(pragma(&store, "journal_mode"), "wal");
    assert_eq!(pragma(&store, "synchronous"), "2", "FULL");
    assert_eq!(pragma(&store, "foreign_keys"), "1");
    assert_eq!(pragma(&store, "busy_timeout"), "2000");
    assert_eq!(pragma(&store, "trusted_schema"), "0");
    assert_eq!(
        pragma(&store, "application_id"),
        crate::APPLICATION_ID.to_string()
    );
    assert_eq!(pragma(&store, "user_version"), crate::VERSION.to_string());
    assert!(place.files().contains(&"car.crimpbook-wal".to_owned()));
}

#[test]
fn what_is_folded_in_is_in_a_copy_of_the_file_alone() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let copied = || {
        let copy = place.path().with_file_name("copy.crimpbook");
        std::fs::copy(place.path(), &copy).unwrap();
        Store::open_read_only(&copy).unwrap().book.tables().zones.len()
    };
    assert_eq!(copied(), 2, "it stands beside the file as yet");
    store.fold_in().unwrap();
    assert_eq!(copied(), 3);
    store.commit(&entry(3, vec![make(zone(4, "floor"))])).unwrap();
    assert_eq!(store.reload().unwrap().0.tables().zones.len(), 4);
}

#[test]
fn looking_at_a_workbook_changes_nothing() {
    let place = Place::new();
    let path = place.made_and_closed();
    let before = bytes(&path);
    let opened = Store::open(&path).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 2);
    assert_eq!(place.files(), ["car.crimpbook"]);
    opened.store.close().unwrap();
    assert_eq!(bytes(&path), before);
    assert_eq!(place.files(), ["car.crimpbook"]);
}

#[test]
fn closing_leaves_one_plain_file() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    store.close().unwrap();
    assert_eq!(place.files(), ["car.crimpbook"]);
    assert_eq!(
        bytes(&place.path())[18..20],
        [1, 1],
        "opened by anything, anywhere"
    );
    assert_eq!(Store::open(&place.path()).unwrap().book.tables().zones.len(), 3);
}

#[test]
fn dropping_leaves_one_file_too() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    drop(store);
    assert_eq!(place.files(), ["car.crimpbook"]);
}

#[test]
fn a_full_disk_leaves_everything_as_it_was() {
    let place = Place::new();
    let mut store = place.made().store;
    let pages: i64 = pragma(&store, "page_count").parse().unwrap();
    store
        .db
        .query_row(&format!("PRAGMA max_page_count = {pages}"), [], |_| Ok(()))
        .unwrap();
    let head = store.head();
    let mut big = zone(3, "roof");
    big.note = "x".repeat(100_000);
    let error = store.commit(&entry(2, vec![make(big)])).unwrap_err();
    assert_eq!((error.kind, error.cause), (ErrorKind::File, Cause::Full));
    assert!(error.sentence.starts_with("no room left for "), "{error}");
    assert_eq!(store.head(), head);
    let (book, heads) = store.reload().unwrap();
    assert_eq!((book.tables().zones.len(), heads.len()), (2, 1));
    // The same store goes on when there is room again.
    store
        .db
        .query_row("PRAGMA max_page_count = 4294967294", [], |_| Ok(()))
        .unwrap();
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    store.verify().unwrap();
}

#[test]
fn a_backup_is_a_whole_workbook_by_itself() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let copy = place.beside("copy.crimpbook");
    store.backup_to(&copy).unwrap();
    assert_eq!(store.backup_to(&copy).unwrap_err().cause, Cause::Exists);
    let opened = Store::open(&copy).unwrap();
    assert_eq!(opened.store.verify().unwrap(), store.verify().unwrap());
    assert_eq!(opened.book.tables().zones.len(), 3);
}

#[test]
fn a_large_workbook_is_read_whole_too() {
    let place = Place::new();
    let mut changes = vec![];
    for (kind, fields) in [
        ("unit", r#"{"id": "m", "label": "MC", "name": ""}"#),
        ("connector", r#"{"id": "m", "label": "MC-A", "unit": "m"}"#),
        (
            "cavity",
            r#"{"id": "m1", "connector": "m", "number": "1", "decision": "blank"}"#,
        ),
        (
            "cavity",
            r#"{"id": "m2", "connector": "m", "number": "2", "decision": {"bridged": {"to": "m1"}}}"#,
        ),
    ] {
        let record = format!("{{\"{kind}\": {fields}}}");
        changes.push(made(serde_json::from_str(&record).unwrap()));
    }
    let mut long = zone(1, "cabin");
    long.note = "x".repeat(2_000_000);
    changes.push(make(long));
    let made = Store::create(&place.path(), &[entry(1, changes)]).unwrap();
    assert!(bytes(&place.path()).len() > 4_000_000);
    let tables = made.book.tables();
    assert_eq!((tables.zones.len(), tables.cavities.len()), (1, 2));
    made.store.verify().unwrap();
    made.store.close().unwrap();

    // What is wrong in the half that is read beside is told as well.
    let db = rusqlite::Connection::open(place.path()).unwrap();
    db.execute("UPDATE cavities SET decision = 'hope' WHERE id = 'm1'", [])
        .unwrap();
    drop(db);
    let error = Store::open(&place.path()).unwrap_err();
    assert!(error.sentence.contains("row m1 of table cavities"), "{error}");
}
