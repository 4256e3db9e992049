//! A small book for the tests of this crate, and a log on it.

mod spoiled;

pub use spoiled::spoiled;

use chrono::{DateTime, TimeDelta, Utc};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Stamp},
    log::{Entry, EntryKind},
    model::{Id, TemporaryLink, Wire},
};

use crate::json::read;

/// The book as a document without a log.
pub const BOOK: &str = include_str!("book.json");

/// A stamp; `n` gives id and minute.
pub fn stamp(n: u128) -> Stamp {
    let start = DateTime::<Utc>::from_timestamp(1_935_000_000, 0).unwrap();
    Stamp {
        id: Id::from_bits(1000 + n),
        at: start + TimeDelta::minutes(n as i64),
        who: "A. Nether".to_owned(),
    }
}

/// The book that `entries` make.
pub fn replay(entries: &[Entry]) -> Book {
    let mut book = Book::default();
    for entry in entries {
        book.apply(entry).unwrap();
    }
    book
}

/// The book.
pub fn book() -> Book {
    replay(&read(BOOK).unwrap().into_entries(stamp(0)).unwrap())
}

/// The book and its log: made, a wire made thinner and back, released, made thicker with a why. Its temporary links are out
/// while it is released.
pub fn logged() -> (Book, Vec<Entry>) {
    let mut entries = read(BOOK).unwrap().into_entries(stamp(0)).unwrap();
    let mut book = replay(&entries);
    let resized = |book: &Book, area_mm2: f64| {
        let before = book.get::<Wire>("w44".parse().unwrap()).unwrap().clone();
        let mut after = before.clone();
        after.area_mm2 = Some(area_mm2);
        vec![Change::replace(before, after)]
    };
    let links: Vec<TemporaryLink> = book.all::<TemporaryLink>().values().cloned().collect();
    let mut step = |make: &dyn Fn(&Book) -> Edit| {
        let entry = book.prepare(make(&book), stamp(entries.len() as u128)).unwrap();
        book.apply(&entry).unwrap();
        entries.push(entry);
    };
    step(&|book| Edit::design("W44: size 0.35 → 0.1 mm²", resized(book, 0.1)));
    step(&|book| Edit::design("W44: size 0.1 → 0.35 mm²", resized(book, 0.35)));
    step(&|_| Edit {
        revision: Some("A".to_owned()),
        ..Edit::new(
            EntryKind::Release,
            "revision A released for building",
            links.iter().cloned().map(Change::remove).collect(),
        )
    });
    step(&|book| {
        Edit::design("W44: size 0.35 → 0.5 mm²", resized(book, 0.5)).because("F6 is too big for 0.35")
    });
    step(&|_| {
        let back = links.iter().cloned().map(Change::make).collect();
        Edit::progress("the test's links are back in", back)
    });
    (book, entries)
}
