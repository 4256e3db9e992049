//! Older tables, brought up to date: with a step that does not exist yet, and a file of version 1.

use rusqlite::Connection;

use super::samples::{Place, bytes, entry, make, zone};
use crate::{Cause, Store, schema::STEPS};

const STEP: &str = "ALTER TABLE zones ADD COLUMN colour TEXT; UPDATE zones SET colour = 'BK' || label;";

/// The name under which a file is kept before `newer` brings it up to date.
fn kept_name() -> String {
    format!("car.crimpbook.before-v{}", STEPS.len() + 1)
}

fn newer(step: &str) -> Vec<&str> {
    STEPS.iter().copied().chain([step]).collect()
}

#[test]
fn an_older_file_is_kept_and_brought_up_to_date() {
    let place = Place::new();
    let path = place.made_and_closed();
    let old = bytes(&path);
    let opened = Store::open_with(&path, &newer(STEP)).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 2);
    opened.store.verify().unwrap();
    opened.store.close().unwrap();
    assert_eq!(place.files(), ["car.crimpbook", kept_name().as_str()]);

    let db = Connection::open(&path).unwrap();
    let colour: String = db
        .query_row("SELECT colour FROM zones WHERE id = '1'", [], |row| row.get(0))
        .unwrap();
    assert_eq!(colour, "BKcabin");
    drop(db);
    // To today's program the file is a newer one now, and the copy is what it was.
    assert_eq!(Store::open(&path).unwrap_err().cause, Cause::Newer);
    let kept = Store::open(&place.beside(&kept_name())).unwrap();
    kept.store.verify().unwrap();
    assert_eq!(old.len(), bytes(&place.beside(&kept_name())).len());
}

#[test]
fn a_file_of_version_1_keeps_its_readings() {
    let place = Place::new();
    let path = place.path();
    let db = Connection::open(&path).unwrap();
    db.execute_batch(STEPS[0]).unwrap();
    db.pragma_update(None, "user_version", 1).unwrap();
    db.execute_batch(
        "INSERT INTO units VALUES ('u', 'MC', '', NULL, NULL, NULL, '', '', '', '');
         INSERT INTO connectors VALUES ('c', 'u', 'MC-A', '', NULL, '', NULL, 0, '');
         INSERT INTO cavities (id, connector, number, unit_number, name, decision, why, plug, page, note)
           VALUES ('k', 'c', '1', '', '', 'undecided', '', 0, '', '');
         INSERT INTO readings VALUES ('r', 'k', NULL, 0.4, 'Ω', 0, 1, '2025-01-12T10:00:00Z', 'A.', '', '', '[]', NULL);",
    )
    .unwrap();
    crate::migrate::steps_up(&db, STEPS).unwrap();
    let row: (f64, Option<String>, Option<String>) = db
        .query_row("SELECT value, test, against_cavity FROM readings", [], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?))
        })
        .unwrap();
    assert_eq!(row, (0.4, None, None));
    let held = db.query_row("SELECT held_switch FROM readings", [], |row| {
        row.get::<_, Option<String>>(0)
    });
    assert_eq!(held.unwrap(), None);
    db.execute("UPDATE readings SET against_cavity = 'k'", [])
        .unwrap();
    assert!(
        db.execute("UPDATE readings SET against_junction = 'j'", [])
            .is_err(),
        "two places for one lead"
    );
}

#[test]
fn a_file_of_version_2_keeps_its_settings_and_trials_as_they_were_written() {
    let place = Place::new();
    let path = place.path();
    let db = Connection::open(&path).unwrap();
    for step in &STEPS[..2] {
        db.execute_batch(step).unwrap();
    }
    db.pragma_update(None, "user_version", 2).unwrap();
    db.execute_batch(
        "INSERT INTO units VALUES ('m', 'MC', '', NULL, NULL, NULL, '', '', '', '');
         INSERT INTO settings VALUES ('s', 'm', 'REGEN', '18', '%', 'n');
         INSERT INTO trials VALUES ('t', '2025-01-12T10:00:00Z', 'A.', 'Yard, dry.', 'REGEN 10 to 18 %', 'jerks', 'less');",
    )
    .unwrap();
    crate::migrate::steps_up(&db, STEPS).unwrap();
    let tables = crate::load::tables(&db).unwrap();
    let setting = tables.settings.values().next().unwrap();
    assert_eq!((setting.value.as_str(), setting.note.as_str()), ("18", "n"));
    assert_eq!(
        (setting.role, setting.least, setting.default_value.as_str()),
        (None, None, "")
    );
    let trial = tables.trials.values().next().unwrap();
    assert_eq!(
        [&trial.words, &trial.changed, &trial.felt, &trial.next],
        ["Yard, dry.", "REGEN 10 to 18 %", "jerks", "less"]
    );
    assert!(trial.place.is_empty() && trial.settings.is_empty() && trial.marks.is_empty());
}

#[test]
fn a_file_of_version_6_has_zones_without_a_place_and_no_service_notes() {
    let place = Place::new();
    let db = Connection::open(place.path()).unwrap();
    for step in &STEPS[..6] {
        db.execute_batch(step).unwrap();
    }
    db.pragma_update(None, "user_version", 6).unwrap();
    db.execute_batch(
        "INSERT INTO zones VALUES ('z', 'cabin', 40.0, 1, 'n');
         INSERT INTO about VALUES ('p', 'Van', '', 10.5, 12.6, 15.5, NULL, 'iso6722', NULL, '', '', 'key off');",
    )
    .unwrap();
    crate::migrate::steps_up(&db, STEPS).unwrap();
    let tables = crate::load::tables(&db).unwrap();
    let zone = tables.zones.values().next().unwrap();
    assert_eq!(
        (
            zone.label.as_str(),
            zone.ambient_c,
            zone.wet,
            zone.note.as_str(),
            zone.plan
        ),
        ("cabin", Some(40.0), true, "n", None)
    );
    let about = tables.about.values().next().unwrap();
    assert_eq!(about.service_note, "key off");
    assert!(about.service.told().iter().all(|(_, note)| note.is_empty()));
}

#[test]
fn a_copy_that_was_kept_before_stays() {
    let place = Place::new();
    let path = place.made_and_closed();
    std::fs::write(place.beside(&kept_name()), "an earlier copy").unwrap();
    drop(Store::open_with(&path, &newer(STEP)).unwrap());
    assert_eq!(
        place.files(),
        [
            "car.crimpbook",
            kept_name().as_str(),
            format!("{}-2", kept_name()).as_str()
        ]
    );
    assert_eq!(bytes(&place.beside(&kept_name())), b"an earlier copy");
}

#[test]
fn a_step_that_fails_changes_nothing() {
    for step in [
        "ALTER TABLE zones ADD COLUMN colour TEXT; INSERT INTO no_such_table VALUES (1);",
        // Leaves a reference that leads nowhere.
        "INSERT INTO units VALUES ('u', 'MC', '', 'nowhere', NULL, NULL, '', '', '', '');",
    ] {
        let place = Place::new();
        let path = place.made_and_closed();
        let old = bytes(&path);
        let error = Store::open_with(&path, &newer(step)).unwrap_err();
        assert!(error.sentence.contains("nothing was changed"), "{error}");
        assert_eq!(bytes(&path), old);
        assert_eq!(place.files(), ["car.crimpbook"]);
        Store::open(&path).unwrap().store.verify().unwrap();
    }
}

#[test]
fn reading_an_older_file_leaves_it_and_its_folder_as_they_are() {
    let place = Place::new();
    let path = place.made_and_closed();
    let old = bytes(&path);
    let opened = Store::open_read_only_with(&path, &newer(STEP)).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 2);
    assert_eq!(
        opened
            .store
            .db
            .query_row("SELECT count(colour) FROM zones", [], |r| r.get(0)),
        Ok(2)
    );
    drop(opened);
    assert_eq!(bytes(&path), old);
    assert_eq!(place.files(), ["car.crimpbook"]);
}

#[test]
fn an_older_file_whose_writer_died_keeps_its_last_change() {
    let place = Place::new();
    let mut store = place.made().store;
    store.commit(&entry(2, vec![make(zone(3, "roof"))])).unwrap();
    let crashed = Place::new();
    for name in place.files() {
        std::fs::copy(place.beside(&name), crashed.beside(&name)).unwrap();
    }
    let read = Store::open_read_only_with(&crashed.path(), &newer(STEP)).unwrap();
    assert_eq!(read.book.tables().zones.len(), 3);
    let opened = Store::open_with(&crashed.path(), &newer(STEP)).unwrap();
    assert_eq!(opened.book.tables().zones.len(), 3);
    opened.store.close().unwrap();
    let kept = Store::open(&crashed.beside(&kept_name())).unwrap();
    assert_eq!(kept.book.tables().zones.len(), 3);
}

#[test]
fn a_file_of_version_7_has_studs_whose_torque_is_not_known() {
    let place = Place::new();
    let db = Connection::open(place.path()).unwrap();
    for step in &STEPS[..7] {
        db.execute_batch(step).unwrap();
    }
    db.pragma_update(None, "user_version", 7).unwrap();
    db.execute_batch(
        "INSERT INTO junctions (id, label, kind, place, note) VALUES ('g', 'G2', 'ground_stud', 'dash', '');",
    )
    .unwrap();
    crate::migrate::steps_up(&db, STEPS).unwrap();
    let tables = crate::load::tables(&db).unwrap();
    let stud = tables.junctions.values().next().unwrap();
    assert_eq!((stud.label.as_str(), stud.torque_nm), ("G2", None));
}
