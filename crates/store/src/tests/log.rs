//! The log is only ever added to, and what was altered shows.

use rusqlite::Connection;

use crimpbook_workbook::log::{Hash, verify};

use super::samples::{Place, entry, make, zone};
use crate::{Cause, Store};

fn three_entries() -> Place {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let mut release = entry(3, vec![]);
    release.revision = Some("A".to_owned());
    release.of = Some(release.id);
    store.commit(&release).unwrap();
    store.close().unwrap();
    place
}

#[test]
fn the_database_itself_refuses_to_alter_the_log() {
    let place = three_entries();
    let db = Connection::open(place.path()).unwrap();
    for sql in [
        "UPDATE log SET why = 'because' WHERE seq = 2",
        "DELETE FROM log WHERE seq = 3",
        "DELETE FROM log",
        "INSERT OR REPLACE INTO log SELECT 3, 'x', at, who, kind, title, why, of, revision, hash, body FROM log WHERE seq = 2",
        "INSERT OR REPLACE INTO log SELECT 4, id, at, who, kind, title, why, of, revision, hash, body FROM log WHERE seq = 2",
        "INSERT INTO log SELECT 9, 'x', at, who, kind, title, why, of, revision, hash, body FROM log WHERE seq = 2",
    ] {
        let error = db.execute_batch(sql).unwrap_err();
        assert!(
            error.to_string().contains("the log is only ever added to"),
            "{sql}: {error}"
        );
    }
    drop(db);
    Store::open(&place.path()).unwrap().store.verify().unwrap();
}

#[test]
fn entries_and_bodies_are_what_was_committed() {
    let place = three_entries();
    let opened = Store::open(&place.path()).unwrap();
    assert_eq!(opened.book.revision(), Some("A"));
    assert_eq!(
        opened.store.entry(2).unwrap(),
        entry(2, vec![make(zone(3, "roof"))])
    );
    let bodies: Vec<(String, Hash)> = opened.store.bodies().map(Result::unwrap).collect();
    let head = verify(bodies.iter().map(|(body, hash)| (body.as_str(), *hash))).unwrap();
    assert_eq!(
        (bodies.len() as u64, head),
        (opened.store.head().seq, opened.store.head().hash)
    );
    for (seq, head) in (1..).zip(&opened.heads) {
        assert_eq!(&opened.store.entry(seq).unwrap().head(seq), head);
    }
    let error = opened.store.entry(4).unwrap_err();
    assert!(error.sentence.contains("has no entry 4"), "{error}");
}

#[test]
fn the_same_entries_give_the_same_head() {
    let (one, other) = (three_entries(), Place::new());
    let one = Store::open(&one.path()).unwrap();
    let entries: Vec<_> = (1..=3).map(|seq| one.store.entry(seq).unwrap()).collect();
    let other = Store::create(&other.path(), &entries).unwrap();
    assert_eq!(one.store.head(), other.store.head());
    assert_eq!((one.book, one.heads), (other.book, other.heads));
}

#[test]
fn what_was_altered_past_the_program_shows() {
    let unlock = "DROP TRIGGER log_keeps_entries; DROP TRIGGER log_keeps_every_entry;";
    for (sql, says) in [
        (
            "UPDATE zones SET label = 'attic' WHERE id = '3'",
            "the zone 3 attic does not follow from its log",
        ),
        (
            "DELETE FROM zones WHERE id = '1'",
            "the zone 1 cabin does not follow from its log",
        ),
        (
            "INSERT INTO zones (id, label, wet, note) VALUES ('9', 'boot', 0, '')",
            "the zone 9 boot does not follow from its log",
        ),
        (
            "UPDATE log SET body = replace(body, 'roof', 'attic') WHERE seq = 2",
            "entry 2 of its log does not verify",
        ),
        (
            "UPDATE log SET hash = (SELECT hash FROM log WHERE seq = 1) WHERE seq = 3",
            "entry 3 of its log does not verify",
        ),
        (
            "UPDATE log SET who = 'berta' WHERE seq = 1",
            "entry 1 of its log is not what the list of entries says",
        ),
        (
            "DELETE FROM log WHERE seq > 1",
            "the zone 3 roof does not follow from its log",
        ),
        (
            "DELETE FROM log WHERE seq = 1",
            "entry 1 of its log does not verify",
        ),
    ] {
        let place = three_entries();
        let db = Connection::open(place.path()).unwrap();
        db.execute_batch(unlock).unwrap();
        db.execute_batch(sql).unwrap();
        drop(db);
        let error = Store::open(&place.path()).unwrap().store.verify().unwrap_err();
        assert_eq!(error.cause, Cause::Damaged, "{sql}");
        assert!(error.sentence.contains(says), "{sql}: {error}");
    }
}

#[test]
fn a_reference_that_leads_nowhere_is_not_written() {
    let place = Place::new();
    let mut store = place.made().store;
    let unit: crimpbook_workbook::model::Unit =
        serde_json::from_value(serde_json::json!({"id": "m", "label": "MC", "name": "", "zone": "z0ne"}))
            .unwrap();
    let error = store.commit(&entry(2, vec![make(unit)])).unwrap_err();
    assert!(error.sentence.contains("FOREIGN KEY"), "{error}");
    assert_eq!(store.reload().unwrap().1.len(), 1);
    store.verify().unwrap();
}

#[test]
fn figures_that_json_cannot_hold_are_not_written() {
    let place = Place::new();
    let mut store = place.made().store;
    let mut hot = zone(3, "roof");
    hot.ambient_c = Some(f64::NAN);
    let error = store.commit(&entry(2, vec![make(hot)])).unwrap_err();
    assert!(error.sentence.contains("does not read back"), "{error}");
    assert_eq!(store.reload().unwrap().1.len(), 1);
}
