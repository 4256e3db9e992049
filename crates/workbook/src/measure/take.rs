//! Taking a reading: the edit that keeps it with what was expected and what it rested on.

use chrono::{DateTime, Utc};

use super::{
    rests,
    standing::{Standing, standing},
    test::{Expected, Test},
};
use crate::{
    Book,
    edit::{Change, Edit, Refusal},
    log::EntryKind,
    model::{IdMaker, Key, Reading},
};

/// What somebody read.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// In the test's measure, the leads' own ohms taken off; none: open circuit.
    pub value: Option<f64>,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// Which meter.
    pub meter: String,
    /// What was done about it; must be told where it is not as expected.
    pub note: String,
    /// The leads' own ohms that were taken off, Ω.
    pub leads_ohm: Option<f64>,
    /// The known current sent through, A.
    pub current_a: Option<f64>,
}

/// The edit that keeps a reading. Readings before it stay.
///
/// # Errors
/// The cavity is gone; it is not as expected and nothing is told of it.
pub fn take(book: &Book, ids: &mut IdMaker, test: &Test, taken: &Taken) -> Result<Edit, Refusal> {
    let reading = reading(book, ids, test, taken)?;
    let held = test
        .held_words(book)
        .map_or_else(String::new, |held| format!(", {held}"));
    let title = format!(
        "{} {}{held}: {}",
        book.cavity_name(test.at),
        test.kind.words(),
        told(&reading)
    );
    Ok(Edit::new(EntryKind::Reading, title, vec![Change::make(reading)]))
}

/// The edit that answers all tests of a sweep that expect an open circuit and have no reading that counts: all open.
///
/// # Errors
/// There is none left.
pub fn all_open(book: &Book, ids: &mut IdMaker, tests: &[Test], taken: &Taken) -> Result<Edit, Refusal> {
    let waiting: Vec<&Test> = tests
        .iter()
        .filter(|test| test.expected == Expected::OPEN)
        .filter(|test| matches!(standing(book, test), Standing::Open | Standing::Lapsed))
        .collect();
    let mut changes = Vec::new();
    for test in &waiting {
        let open = Taken {
            value: None,
            ..taken.clone()
        };
        changes.push(Change::make(reading(book, ids, test, &open)?));
    }
    let Some(first) = waiting.first() else {
        return Err(Refusal::invalid(
            "this sweep",
            None,
            "has nothing left that should read open",
        ));
    };
    let more = match waiting.len() {
        1 => String::new(),
        n => format!(" and {} more", n - 1),
    };
    let title = format!(
        "{} {}{more}: open",
        book.cavity_name(first.at),
        first.kind.words()
    );
    Ok(Edit::new(EntryKind::Reading, title, changes))
}

fn reading(book: &Book, ids: &mut IdMaker, test: &Test, taken: &Taken) -> Result<Reading, Refusal> {
    let name = book.cavity_name(test.at);
    if book.get(test.at).is_none() {
        return Err(Refusal::invalid(
            format!("cavity {name}"),
            Some(Key::of(test.at)),
            "is not in the workbook any more; look again",
        ));
    }
    if test.expected.judge(taken.value) == Some(false) && taken.note.trim().is_empty() {
        return Err(Refusal::invalid(
            name,
            Some(Key::of(test.at)),
            "does not read as expected: say what was found and done, \"not looked into yet\" will do",
        ));
    }
    let (least, most) = test.expected.bounds();
    Ok(Reading {
        id: ids.make(),
        test: Some(test.kind),
        at_cavity: test.at,
        against: test.against,
        state: test.state,
        held: test.held.clone(),
        value: taken.value,
        measure: test.measure().to_owned(),
        expected_least: least,
        expected_most: most,
        current_a: taken.current_a,
        leads_ohm: taken.leads_ohm,
        taken: taken.at,
        who: taken.who.clone(),
        meter: taken.meter.clone(),
        note: taken.note.trim().to_owned(),
        rested_on: rests::rests(book, test),
        lapsed: None,
    })
}

/// `0.12 Ω, right`, `open, WRONG`.
fn told(reading: &Reading) -> String {
    let value = reading.value.map_or_else(
        || "open".to_owned(),
        |value| format!("{} {}", crimpbook_core::quantity::rounded(value), reading.measure),
    );
    format!("{value}, {}", Standing::of(reading).words())
}
