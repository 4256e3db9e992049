//! How a test stands: which reading answers it, and what that came to.

use super::test::{Test, judge};
use crate::book::InOrder;
use crate::{
    Book,
    model::{Cavity, End, Id, Key, Reading, TestKind},
};

/// How a test stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Not read yet.
    Open,
    /// As expected when it was taken.
    Passed,
    /// Not as expected when it was taken.
    Failed,
    /// Read, and nothing told what to expect.
    Told,
    /// What it tested was changed afterwards: to be read again.
    Lapsed,
}

impl Standing {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Passed => "right",
            Self::Failed => "WRONG",
            Self::Told => "read",
            Self::Lapsed => "again",
        }
    }

    /// A mark that does not hang on colour.
    pub fn mark(self) -> &'static str {
        match self {
            Self::Open => "·",
            Self::Passed => "✓",
            Self::Failed => "✗",
            Self::Told => "○",
            Self::Lapsed => "▲",
        }
    }

    /// Of a reading by itself.
    pub fn of(reading: &Reading) -> Self {
        if reading.lapsed.is_some() {
            return Self::Lapsed;
        }
        match judge(reading.value, reading.expected_least, reading.expected_most) {
            Some(true) => Self::Passed,
            Some(false) => Self::Failed,
            None => Self::Told,
        }
    }
}

/// All readings with the first lead at a cavity.
pub(super) fn readings_at(book: &Book, cavity: Id<Cavity>) -> impl Iterator<Item = &Reading> {
    let users = book.index().users_of(Key::of(cavity)).iter();
    users
        .filter_map(|user| book.get(user.as_id::<Reading>()?))
        .filter(move |reading| reading.at_cavity == cavity)
}

/// The reading that answers a test: the last one taken.
pub fn reading_of<'a>(book: &'a Book, test: &Test) -> Option<&'a Reading> {
    readings_at(book, test.at)
        .filter(|reading| answers(reading, test))
        .max_by_key(|reading| (reading.taken, reading.id))
}

fn answers(reading: &Reading, test: &Test) -> bool {
    match reading.test {
        Some(kind) => {
            // A test that shows a mirrored plug is one from end to end as well.
            let through = |kind| matches!(kind, TestKind::Mirror | TestKind::Through);
            (kind == test.kind || (through(kind) && through(test.kind)))
                && reading.against == test.against
                && reading.state == test.state
                && reading.held == test.held
        }
        // Entered or imported by itself: volts in a state, against the unit's own ground.
        None => {
            test.kind == TestKind::PlugsOn
                && reading.state == test.state
                && reading.measure == "V"
                && (reading.against == End::Free || reading.against == test.against)
        }
    }
}

/// How a test stands.
pub fn standing(book: &Book, test: &Test) -> Standing {
    reading_of(book, test).map_or(Standing::Open, Standing::of)
}

/// Tests counted by how they stand.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// All of them.
    pub total: usize,
    /// Read, and right or without a verdict.
    pub done: usize,
    /// Wrong.
    pub failed: usize,
    /// To be read again.
    pub lapsed: usize,
}

impl Tally {
    /// One test more.
    pub(super) fn add(&mut self, stands: Standing) {
        self.total += 1;
        match stands {
            Standing::Open => {}
            Standing::Passed | Standing::Told => self.done += 1,
            Standing::Failed => self.failed += 1,
            Standing::Lapsed => self.lapsed += 1,
        }
    }
}

/// Readings whose wire, ends or state were changed afterwards and that no later one replaces.
pub fn lapsed(book: &Book) -> Vec<&Reading> {
    let same = |a: &Reading, b: &Reading| {
        a.at_cavity == b.at_cavity
            && a.against == b.against
            && a.state == b.state
            && a.test == b.test
            && a.held == b.held
    };
    let later = |one: &Reading| {
        readings_at(book, one.at_cavity)
            .any(|other| same(other, one) && (other.taken, other.id) > (one.taken, one.id))
    };
    let all = book.all::<Reading>().values();
    let mut found: Vec<&Reading> = all.filter(|r| r.lapsed.is_some() && !later(r)).collect();
    found.order_by(|r| crate::book::natural(&book.cavity_name(r.at_cavity)));
    found
}

/// Counts tests by how they stand.
pub fn tally(book: &Book, tests: &[Test]) -> Tally {
    let mut sum = Tally::default();
    for test in tests {
        sum.add(standing(book, test));
    }
    sum
}
