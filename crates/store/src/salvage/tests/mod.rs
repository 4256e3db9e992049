//! What is read of damaged files.

mod corpus;
mod hostile;

use std::fs;

use rusqlite::Connection;

use crate::tests::{
    generate::Dice,
    samples::{Place, bytes, entry, make, zone},
};
use crate::{Cause, Store, salvage};

/// A workbook with `n` entries of a zone each after the first.
fn long(n: u128) -> Place {
    let place = Place::new();
    let mut store = place.made().store;
    for n in 2..=n {
        store
            .commit(&entry(n, vec![make(zone(n + 1, &format!("zone {n}")))]))
            .unwrap();
    }
    store.close().unwrap();
    place
}

#[test]
fn a_whole_file_gives_all_of_it() {
    let place = long(9);
    let saved = salvage(&place.path()).unwrap();
    assert_eq!((saved.entries.len(), saved.rows.len()), (9, 0));
    assert_eq!((saved.log_ends, saved.lost), (None, vec![]));
}

#[test]
fn an_altered_entry_ends_the_log_and_the_rows_tell_the_rest() {
    let place = long(9);
    let db = Connection::open(place.path()).unwrap();
    // The log itself refuses to be changed: as somebody would do who wants to.
    db.execute_batch("DROP TRIGGER log_keeps_entries; UPDATE log SET body = replace(body, 'zone 6', 'zone x') WHERE seq = 6")
        .unwrap();
    drop(db);
    let saved = salvage(&place.path()).unwrap();
    assert_eq!(saved.entries.len(), 5);
    assert_eq!(
        saved.log_ends.as_deref(),
        Some("entry 6 of its log does not verify")
    );
    let names: Vec<_> = saved.rows.iter().map(|row| row.label().to_owned()).collect();
    assert_eq!(names, ["zone 6", "zone 7", "zone 8", "zone 9"]);
}

#[test]
fn what_is_nothing_to_salvage_is_said() {
    let place = long(2);
    let mut spoilt = bytes(&place.path());
    spoilt[4096..].fill(0x5a);
    fs::write(place.path(), &spoilt).unwrap();
    let error = salvage(&place.path()).unwrap_err();
    assert_eq!(error.cause, Cause::Damaged);
    assert!(error.sentence.contains("malformed"), "{error}");
    assert!(bytes(&place.path()) == spoilt);
}

#[test]
fn spoilt_pages_never_panic_never_write_and_often_leave_something() {
    let whole = bytes(&long(60).path());
    let (mut something, mut damaged) = (0, 0);
    for seed in 0..60 {
        let mut dice = Dice::new(seed);
        let mut spoilt = whole.clone();
        // Not the first page: then it is no workbook to begin with.
        let page = 1 + dice.below(spoilt.len() / 4096 - 1);
        spoilt[page * 4096..(page + 1) * 4096].fill(dice.below(256) as u8);
        let place = Place::new();
        fs::write(place.path(), &spoilt).unwrap();
        let broken = Store::open_read_only(&place.path())
            .and_then(|opened| opened.store.verify())
            .is_err();
        damaged += usize::from(broken);
        if let Ok(saved) = salvage(&place.path()) {
            assert!(!saved.entries.is_empty() || !saved.rows.is_empty());
            let whole = saved.entries.len() == 60 && saved.log_ends.is_none() && saved.lost.is_empty();
            assert!(broken || whole, "{seed}: sound, and not all of it was saved");
            something += usize::from(broken);
        }
        assert!(bytes(&place.path()) == spoilt, "{seed}: it was written");
        assert_eq!(place.files(), ["car.crimpbook"]);
    }
    assert!(
        damaged > 20 && something > 10,
        "{damaged} damaged, {something} saved"
    );
}
