//! One small workbook, damaged in each way there is, and what is saved of it.

use std::{collections::HashMap, fs, ops::Range, sync::LazyLock};

use crimpbook_workbook::{
    edit::Change,
    log::Entry,
    model::{Key, Record, Tables},
};

use crate::{
    Salvaged, Store, replay, salvage,
    tests::{
        generate::{Dice, records},
        samples::{Place, bytes, entry, made, make, zone},
    },
};

pub(super) const PAGE: usize = 4096;

/// A workbook as it was, and all that is known of it.
pub(super) struct Whole {
    pub bytes: Vec<u8>,
    pub entries: Vec<Entry>,
    tables: Tables,
    /// Where the text of each entry lies: its pieces.
    texts: Vec<Vec<Range<usize>>>,
}

pub(super) static WHOLE: LazyLock<Whole> = LazyLock::new(Whole::make);

impl Whole {
    /// Every kind of record, then 90 entries that make, change and remove zones.
    fn make() -> Self {
        let mut all: Vec<Change> = records(&mut Dice::new(3)).into_iter().map(made).collect();
        all.extend((100..220).map(|n| make(zone(n, &format!("zone {n}, far back on the left")))));
        let mut entries = vec![entry(1, all)];
        for n in 2..=90 {
            let before = zone(98 + n, &format!("zone {}, far back on the left", 98 + n));
            let after = zone(98 + n, &format!("renamed by entry {n}"));
            entries.push(entry(
                n,
                match n % 3 {
                    0 => vec![Change::replace(before, after), make(zone(1000 + n, "new"))],
                    1 => vec![Change::remove(before)],
                    _ => vec![Change::replace(before, after)],
                },
            ));
        }
        let place = Place::new();
        Store::create(&place.path(), &entries[..1])
            .unwrap()
            .store
            .close()
            .unwrap();
        let mut store = Store::open(&place.path()).unwrap().store;
        for entry in &entries[1..] {
            store.commit(entry).unwrap();
        }
        store.close().unwrap();
        let bytes = bytes(&place.path());
        let mut tables = Tables::default();
        let mut texts = Vec::new();
        for (seq, entry) in (1..).zip(&entries) {
            replay::apply(&mut tables, seq, entry.clone()).unwrap();
            texts.push(places(&bytes, entry.canonical().as_bytes()));
        }
        Self {
            bytes,
            entries,
            tables,
            texts,
        }
    }

    /// How many entries from the first one on have their text where it was.
    fn still_there(&self, spoilt: &[u8]) -> usize {
        let same = |piece: &Range<usize>| spoilt.get(piece.clone()) == Some(&self.bytes[piece.clone()]);
        self.texts.iter().take_while(|text| text.iter().all(same)).count()
    }

    /// How many entries from the first one on lie on pages of which no byte is another.
    fn untouched(&self, spoilt: &[u8]) -> usize {
        let page = |at: usize| at / PAGE * PAGE..(at / PAGE + 1) * PAGE;
        let same = |at: usize| spoilt.get(page(at)) == Some(&self.bytes[page(at)]);
        let whole = |piece: &Range<usize>| same(piece.start) && same(piece.end - 1);
        self.texts
            .iter()
            .take_while(|text| text.iter().all(whole))
            .count()
    }

    /// Pages of a sort that hold a text, the first being 0.
    pub(super) fn pages(&self, sort: u8, holding: &[u8]) -> Vec<usize> {
        let page = |n: usize| &self.bytes[n * PAGE..(n + 1) * PAGE];
        (1..self.bytes.len() / PAGE)
            .filter(|n| page(*n)[0] == sort && (holding.is_empty() || find(page(*n), holding).is_some()))
            .collect()
    }

    /// The records that come of what was saved, as far as each can be put in; none of them in a state it never had.
    fn outcome(&self, saved: &Salvaged) -> Tables {
        let mut tables = Tables::default();
        for (seq, entry) in (1..).zip(&saved.entries) {
            replay::apply(&mut tables, seq, entry.clone()).unwrap();
        }
        saved.rows.iter().for_each(|row| tables.put(row.clone()));
        saved.removed.iter().for_each(|key| tables.remove(*key));
        tables
    }

    fn ever(&self) -> HashMap<Key, Vec<Record>> {
        let mut ever: HashMap<Key, Vec<Record>> = HashMap::new();
        for record in self
            .entries
            .iter()
            .flat_map(|e| &e.changes)
            .filter_map(|c| c.after.clone())
        {
            ever.entry(record.key()).or_default().push(record);
        }
        ever
    }
}

fn find(bytes: &[u8], text: &[u8]) -> Option<usize> {
    bytes.windows(text.len()).position(|window| window == text)
}

/// Where the pieces of an entry's text lie: in a page of the log, and from the fifth byte of pages that go on with it.
fn places(bytes: &[u8], text: &[u8]) -> Vec<Range<usize>> {
    let alike = |at: usize, text: &[u8]| bytes[at..].iter().zip(text).take_while(|(a, b)| a == b).count();
    let logs = (1..bytes.len() / PAGE).filter(|page| bytes[page * PAGE] == 0x0d);
    let starts = logs.flat_map(|page| page * PAGE..(page + 1) * PAGE);
    let start = starts.max_by_key(|at| alike(*at, text)).unwrap();
    let mut done = alike(start, text);
    let mut found: Vec<_> = std::iter::once(start..start + done).collect();
    while done < text.len() {
        let goes_on = (1..bytes.len() / PAGE).map(|page| page * PAGE + 4);
        let next = goes_on
            .max_by_key(|at| alike(*at, &text[done..]).min(PAGE - 4))
            .unwrap();
        let length = alike(next, &text[done..]).min(PAGE - 4);
        assert!(length == PAGE - 4 || done + length == text.len());
        found.push(next..next + length);
        done += length;
    }
    found
}

/// The bytes with a page zeroed.
pub(super) fn without(bytes: &[u8], page: usize) -> Vec<u8> {
    let mut spoilt = bytes.to_vec();
    spoilt[page * PAGE..(page + 1) * PAGE].fill(0);
    spoilt
}

/// Salvages damaged bytes through a file, and holds what came of it against what it was.
fn saved(whole: &Whole, name: &str, spoilt: &[u8]) -> Salvaged {
    let place = Place::new();
    fs::write(place.path(), spoilt).unwrap();
    let saved = salvage(&place.path()).unwrap_or_else(|e| panic!("{name}: {e}"));
    assert!(bytes(&place.path()) == spoilt, "{name}: it was written");
    let count = saved.entries.len();
    assert!(
        saved.entries == whole.entries[..count],
        "{name}: an entry that never was"
    );
    let (least, most) = (whole.untouched(spoilt), whole.still_there(spoilt));
    assert!(
        (least..=most).contains(&count),
        "{name}: {count} entries, not {least} to {most}"
    );
    if count < whole.entries.len() {
        assert!(saved.log_ends.is_some(), "{name}: does not say what is missing");
    }
    saved
}

/// The same where no row can have been altered, only lost; gives how many records are as they were.
fn lost_only(whole: &Whole, name: &str, spoilt: &[u8]) -> (Salvaged, usize) {
    let saved = saved(whole, name, spoilt);
    let ever = whole.ever();
    let mut right = 0;
    whole.outcome(&saved).each(&mut |record| {
        let states = ever
            .get(&record.key())
            .unwrap_or_else(|| panic!("{name}: {record:?} never was"));
        assert!(states.contains(&record), "{name}: never so: {record:?}");
        right += usize::from(whole.tables.get(record.key()).as_ref() == Some(&record));
    });
    (saved, right)
}

#[test]
fn a_file_that_is_cut_gives_what_is_before_the_cut() {
    let whole = &WHOLE;
    let pages = whole.bytes.len() / PAGE;
    let cut = |name: &str, to: usize| lost_only(whole, name, &whole.bytes[..to]);
    let (saved, right) = cut("one page before its end", (pages - 1) * PAGE);
    assert!(saved.entries.len() > 75, "{}", saved.entries.len());
    assert_eq!(right, whole.tables.len());
    let left = saved.entries.len() + 1;
    assert_eq!(
        saved.log_ends,
        Some(format!(
            "entries {left} to 90 of at least 90 cannot be read or proven"
        ))
    );
    assert_eq!(saved.lost, [""; 0]);
    let first = whole.pages(0x0d, b"\"title\":\"entry 40\"")[0];
    let (saved, right) = cut("at a page amid the log", first * PAGE);
    assert!((30..40).contains(&saved.entries.len()), "{}", saved.entries.len());
    assert_eq!(right, whole.tables.len());
    let (saved, _) = cut("amid a page of the log", first * PAGE + PAGE / 2);
    assert!((30..40).contains(&saved.entries.len()), "{}", saved.entries.len());
    // Half of it holds no entry, but rows.
    let (saved, right) = cut("at half", whole.bytes.len() / 2);
    assert_eq!(
        (saved.entries.len(), saved.log_ends.as_deref()),
        (0, Some("none of its entries was found"))
    );
    assert!(right > 50, "{right}");
    let untold = saved
        .lost
        .iter()
        .find(|what| what.contains("no page could be told: "));
    assert!(
        untold.is_some_and(|what| what.contains("stock_lines")),
        "{:?}",
        saved.lost
    );
}

#[test]
fn a_spoilt_first_page_takes_nothing_from_the_log() {
    let whole = &WHOLE;
    let mut schema = whole.bytes.clone();
    schema[100..PAGE].fill(0x5a);
    let mut text = whole.bytes.clone();
    let at = find(&text, b"CREATE TABLE zones").unwrap();
    text[at..at + 18].copy_from_slice(b"CREATE TABEL nones");
    let mut version = whole.bytes.clone();
    version[60] = 0x2a;
    for (name, spoilt) in [
        ("version", version),
        ("page 1", without(&whole.bytes, 0)),
        ("schema", schema),
        ("text", text),
    ] {
        let (saved, right) = lost_only(whole, name, &spoilt);
        assert_eq!((saved.entries.len(), right), (90, whole.tables.len()), "{name}");
        assert_eq!((saved.log_ends, saved.lost), (None, vec![]), "{name}");
    }
}

#[test]
fn each_page_may_be_lost() {
    let whole = &WHOLE;
    let logs = whole.pages(0x0d, b"\"schema\":1");
    let inner: Vec<usize> = [whole.pages(5, b""), whole.pages(2, b"")].concat();
    assert!(logs.len() > 8 && inner.len() > 1, "{logs:?} {inner:?}");
    for page in 1..whole.bytes.len() / PAGE {
        let spoilt = without(&whole.bytes, page);
        let (saved, right) = lost_only(whole, &format!("page {page}"), &spoilt);
        // Only pages of the log cost entries, and no page costs a record: what is not in rows is in entries.
        assert_eq!(saved.entries.len(), whole.still_there(&spoilt), "page {page}");
        assert_eq!(right, whole.tables.len(), "page {page}: {:?}", saved.lost);
        if inner.contains(&page) {
            assert_eq!((saved.entries.len(), &saved.log_ends), (90, &None), "page {page}");
        }
        if logs[1..].contains(&page) {
            let said = saved.log_ends.unwrap();
            let (first, beyond) = (
                saved.entries.len() + 1,
                "were read for the records that they leave",
            );
            assert!(said.starts_with(&format!("entries {first} to ")), "{said}");
            assert!(
                page == logs[logs.len() - 1] || said.contains(" of 90 ") && said.ends_with(beyond),
                "{said}"
            );
        }
    }
}

#[test]
fn removed_records_stay_removed_where_an_entry_tells_of_it() {
    let whole = &WHOLE;
    let early = whole.pages(0x0d, b"\"title\":\"entry 8\"")[0];
    let mut spoilt = without(&whole.bytes, early);
    // And no row tells how it stands with zones.
    for page in whole
        .pages(0x0a, b"renamed by entry")
        .into_iter()
        .chain(whole.pages(2, b"far back"))
    {
        spoilt = without(&spoilt, page);
    }
    let saved = saved(whole, "entries and zones", &spoilt);
    assert!(saved.removed.len() > 20, "{}", saved.removed.len());
    let tables = whole.outcome(&saved);
    for key in &saved.removed {
        assert!(!whole.tables.has(*key) && !tables.has(*key), "{key:?}");
    }
}

#[test]
fn sixteen_spoilt_bytes_leave_what_is_on_other_pages() {
    let whole = &WHOLE;
    let ever = whole.ever();
    let mut entries = Vec::new();
    for seed in 0..16 {
        let mut dice = Dice::new(seed);
        let mut spoilt = whole.bytes.clone();
        for _ in 0..16 {
            let at = dice.below(spoilt.len());
            spoilt[at] ^= 1 + dice.below(255) as u8;
        }
        let saved = saved(whole, &format!("seed {seed}"), &spoilt);
        let (mut right, mut altered) = (0, 0);
        whole.outcome(&saved).each(&mut |record| {
            right += usize::from(whole.tables.get(record.key()).as_ref() == Some(&record));
            altered += usize::from(
                !ever
                    .get(&record.key())
                    .is_some_and(|states| states.contains(&record)),
            );
        });
        // A row proves nothing: where no entry contradicts it, a spoilt byte in it may pass for a value.
        assert!(altered <= 4, "seed {seed}: {altered} records never were so");
        assert!(
            right * 10 > whole.tables.len() * 9,
            "seed {seed}: {right} of {} records",
            whole.tables.len()
        );
        println!(
            "seed {seed}: {} entries, {right} of {} records, {altered} altered",
            saved.entries.len(),
            whole.tables.len()
        );
        entries.push(saved.entries.len());
    }
    // Entry 1 is a good part of the file: where it is hit, rows and later entries have to do.
    assert!(
        entries.iter().filter(|count| **count > 0).count() >= 5,
        "{entries:?}"
    );
}
