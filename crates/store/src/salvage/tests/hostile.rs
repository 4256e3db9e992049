//! Bytes of any sort: nothing panics, nothing is made up.

use std::fs;

use proptest::prelude::*;
use rusqlite::Connection;

use super::corpus::{PAGE, WHOLE, without};
use crate::{
    Cause, Store, salvage,
    salvage::of_bytes,
    schema::{APPLICATION_ID, STEPS},
    tests::samples::{Place, bytes, entry, make, zone},
};

/// A page that looks like one of a tree, with anything in its cells.
fn page() -> impl Strategy<Value = Vec<u8>> {
    let sort = prop::sample::select(vec![0x02_u8, 0x05, 0x0a, 0x0d, 0x00]);
    let cells = prop::collection::vec(0_u16..512, 0..24);
    (sort, cells, prop::collection::vec(any::<u8>(), 512)).prop_map(|(sort, cells, mut page)| {
        page[0] = sort;
        page[3..5].copy_from_slice(&(cells.len() as u16).to_be_bytes());
        page[8..11].fill(0);
        page[11] %= 12;
        let from = if sort < 0x0a { 12 } else { 8 };
        for (n, at) in cells.iter().enumerate() {
            page[from + 2 * n..from + 2 * n + 2].copy_from_slice(&at.to_be_bytes());
        }
        page
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_bytes_give_no_entry(main in prop::collection::vec(any::<u8>(), 0..4000), wal in prop::collection::vec(any::<u8>(), 0..2000)) {
        if let Some(saved) = of_bytes(main, wal) {
            prop_assert!(saved.entries.is_empty() && saved.rows.is_empty());
        }
    }

    #[test]
    fn any_cells_give_no_entry(pages in prop::collection::vec(page(), 1..12)) {
        if let Some(saved) = of_bytes(pages.concat(), Vec::new()) {
            prop_assert!(saved.entries.is_empty() && saved.rows.is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn entries_are_those_that_were(
        flips in prop::collection::vec((any::<prop::sample::Index>(), 1_u8..), 0..80),
        zeroed in prop::collection::vec(any::<prop::sample::Index>(), 0..4),
        moved in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>()), 0..3),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let whole = &WHOLE;
        let mut spoilt = whole.bytes.clone();
        let pages = spoilt.len() / PAGE;
        for page in zeroed {
            spoilt = without(&spoilt, page.index(pages));
        }
        for (from, to) in moved {
            let (from, to) = (from.index(pages) * PAGE, to.index(pages) * PAGE);
            spoilt.copy_within(from..from + PAGE, to);
        }
        for (at, with) in flips {
            let at = at.index(spoilt.len());
            spoilt[at] ^= with;
        }
        if let Some(cut) = cut {
            spoilt.truncate(cut.index(spoilt.len()));
        }
        if let Some(saved) = of_bytes(spoilt, Vec::new()) {
            prop_assert!(saved.entries == whole.entries[..saved.entries.len()]);
            prop_assert!(saved.entries.len() == whole.entries.len() || saved.log_ends.is_some());
        }
    }
}

#[test]
fn what_is_beside_the_file_is_read_with_it() {
    let place = Place::new();
    let mut store = place.made().store;
    for n in 2..=9 {
        store
            .commit(&entry(n, vec![make(zone(n + 1, &format!("zone {n}")))]))
            .unwrap();
    }
    // As after a power cut: the file is not closed, its changes lie beside it.
    let main = bytes(&place.path());
    let wal = bytes(&place.beside("car.crimpbook-wal"));
    assert!(wal.len() > 8 * PAGE);
    store.close().unwrap();
    let headless = without(&main, 0);
    let saved = of_bytes(headless.clone(), wal.clone()).unwrap();
    assert_eq!((saved.entries.len(), saved.log_ends), (9, None));
    // An entry whose text is there whole proves itself, though the change around it was cut off.
    let torn = of_bytes(headless.clone(), wal[..wal.len() - 8].to_vec()).unwrap();
    assert_eq!(torn.entries.len(), 9);
    let half = of_bytes(headless, wal[..wal.len() / 2].to_vec()).unwrap();
    assert!((2..8).contains(&half.entries.len()), "{}", half.entries.len());
    assert!(half.log_ends.is_some());
    let spoilt = Place::new();
    fs::write(spoilt.path(), without(&main, 0)).unwrap();
    fs::write(spoilt.beside("car.crimpbook-wal"), &wal).unwrap();
    assert_eq!(salvage(&spoilt.path()).unwrap().entries.len(), 9);
    assert!(bytes(&spoilt.beside("car.crimpbook-wal")) == wal);
}

#[test]
fn pages_that_were_given_up_bring_nothing_back() {
    let place = Place::new();
    let mut store = place.made().store;
    let zones: Vec<_> = (10..400)
        .map(|n| zone(n, &format!("zone {n}, removed later on")))
        .collect();
    store
        .commit(&entry(2, zones.into_iter().map(make).collect()))
        .unwrap();
    store.close().unwrap();
    // As the program removes rows, but without an entry, which would take the pages for its text.
    let db = Connection::open(place.path()).unwrap();
    db.execute_batch("DELETE FROM zones WHERE label LIKE '%removed%'")
        .unwrap();
    drop(db);
    let whole = bytes(&place.path());
    let db = Connection::open(place.path()).unwrap();
    let free: i64 = db
        .query_row("PRAGMA freelist_count", [], |row| row.get(0))
        .unwrap();
    assert!(free > 2, "{free}");
    drop(db);
    let mut spoilt = without(&whole, 0);
    // The log loses all its entries: their texts begin on one page.
    let log = (1..whole.len() / PAGE).find(|n| {
        let page = &whole[n * PAGE..(n + 1) * PAGE];
        page[0] == 0x0d && page.windows(8).any(|w| w == b"entry 2\"" || w == b"creation")
    });
    spoilt = without(&spoilt, log.unwrap());
    let saved = of_bytes(spoilt, Vec::new()).unwrap();
    let names: Vec<_> = saved.rows.iter().map(|row| row.label().to_owned()).collect();
    assert_eq!(
        (saved.entries.len(), names),
        (0, vec!["cabin".to_owned(), "bay".to_owned()])
    );
}

#[test]
fn a_spoilt_hash_is_made_up_for_by_the_next() {
    let place = Place::new();
    let mut store = place.made().store;
    for n in 2..=4 {
        store
            .commit(&entry(n, vec![make(zone(n + 1, &format!("zone {n}")))]))
            .unwrap();
    }
    let hash = store.bodies().nth(1).unwrap().unwrap().1.to_string();
    store.close().unwrap();
    let mut spoilt = bytes(&place.path());
    let at = spoilt.windows(64).position(|w| w == hash.as_bytes()).unwrap();
    spoilt[at] = b'x';
    fs::write(place.path(), &spoilt).unwrap();
    let saved = salvage(&place.path()).unwrap();
    assert_eq!((saved.entries.len(), saved.log_ends), (4, None));
}

#[test]
fn rows_of_an_older_workbook_are_read_without_its_schema() {
    let place = Place::new();
    let db = Connection::open(place.path()).unwrap();
    db.pragma_update(None, "application_id", APPLICATION_ID).unwrap();
    db.execute_batch(STEPS[0]).unwrap();
    db.execute_batch("INSERT INTO zones VALUES ('b2', 'bay', 85, 1, 'hot'), ('c33', 'cabin', 40.5, 0, '')")
        .unwrap();
    db.close().unwrap();
    fs::write(place.path(), without(&bytes(&place.path()), 0)).unwrap();
    let saved = salvage(&place.path()).unwrap();
    let names: Vec<_> = saved.rows.iter().map(|row| row.label().to_owned()).collect();
    assert_eq!(names, ["bay", "cabin"]);
}

#[test]
fn what_is_no_workbook_stays_none() {
    let place = Place::new();
    fs::write(
        place.path(),
        "Dear diary, today I wired the dashboard.\n".repeat(400),
    )
    .unwrap();
    let error = salvage(&place.path()).unwrap_err();
    assert_eq!(error.cause, Cause::NotAWorkbook);
    assert!(error.hint.is_some_and(|hint| !hint.contains("salvage")));
    fs::write(place.path(), vec![0; 20 * PAGE]).unwrap();
    assert_eq!(salvage(&place.path()).unwrap_err().cause, Cause::NotAWorkbook);
    // Who opens what may be a workbook without its first page is told of what can save it.
    let opened = Store::open_read_only(&place.path()).map(drop).unwrap_err();
    assert!(opened.hint.is_some_and(|hint| hint.contains("crimpbook salvage")));
}

/// The bytes with the first of a text spoilt where it follows another.
fn spoil(bytes: &mut [u8], after: &str, text: &str) {
    let whole = [after.as_bytes(), text.as_bytes()].concat();
    let at = bytes.windows(whole.len()).position(|w| w == whole).unwrap();
    bytes[at + after.len()] = 0xff;
}

#[test]
fn what_a_spoilt_entry_still_tells_stands_in_for_spoilt_rows() {
    let place = Place::new();
    place.made_and_closed();
    let mut spoilt = bytes(&place.path());
    // Of one zone the row is left, of the other the entry that made it.
    spoil(&mut spoilt, "\"label\":\"", "bay\"");
    spoil(&mut spoilt, "1", "cabin");
    fs::write(place.path(), spoilt).unwrap();
    let saved = salvage(&place.path()).unwrap();
    let mut names: Vec<_> = saved.rows.iter().map(|row| row.label().to_owned()).collect();
    names.sort();
    assert_eq!(
        (saved.entries.len(), names),
        (0, vec!["bay".to_owned(), "cabin".to_owned()])
    );
    assert_eq!(
        saved.log_ends.as_deref(),
        Some(
            "entry 1 of 1 cannot be read or proven; 1 record is taken as the spoilt text of an entry has it, which proves nothing"
        )
    );
    assert_eq!(saved.lost, ["1 of the rows of table zones"]);
}

#[test]
fn what_a_whole_table_does_not_hold_was_removed() {
    let place = Place::new();
    let mut store = place.made().store;
    store
        .commit(&entry(
            2,
            vec![crimpbook_workbook::edit::Change::remove(zone(1, "cabin"))],
        ))
        .unwrap();
    store.close().unwrap();
    let mut spoilt = bytes(&place.path());
    spoil(&mut spoilt, "\"title\":\"", "entry 2\"");
    fs::write(place.path(), spoilt).unwrap();
    let saved = salvage(&place.path()).unwrap();
    assert_eq!(
        (saved.entries.len(), saved.rows.len(), saved.removed.len()),
        (1, 0, 1)
    );
}
