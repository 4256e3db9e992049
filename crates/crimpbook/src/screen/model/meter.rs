//! Tests: what the meter should show, stage by stage, and what it did show.

use std::sync::Arc;

use crimpbook_core::quantity::rounded;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    measure::{
        Expected, Known, Listed, Rung, Stage, Stop, Stops, Tally, Test, held_words, lapsed, listed,
        reading_of, stages, tally,
    },
    model::{Cavity, Connector, Id, Reading, TemporaryLink, TestKind},
};

use super::{
    Model,
    sieve::{By, List, arrange},
};

/// State of the Tests screen.
#[derive(Debug, Clone, Default)]
pub struct Meter {
    /// Place of the stage shown among all stages.
    pub stage: usize,
    /// The test the cursor is on.
    pub at: usize,
    /// What is known while testing: the battery's volts, the current sent through.
    pub known: Known,
    /// The leads' own ohms, taken off readings in ohms.
    pub leads_ohm: Option<f64>,
    /// Which meter.
    pub name: String,
}

/// The tests of a stage of one state of the book.
#[derive(Debug, Clone)]
pub struct Tests {
    /// The stage.
    pub stage: Stage,
    /// Its place among all, from 0, and how many there are.
    pub of: (usize, usize),
    /// Its rung of the ladder; none without power.
    pub rung: Option<&'static Rung>,
    /// How it is set up.
    pub setup: String,
    /// Its tests.
    pub listed: Listed,
    /// The lines of its list.
    pub rows: Vec<Row>,
}

/// How the tests of the stage shown stand, which each reading changes.
#[derive(Debug, Clone, Copy)]
pub struct Stand {
    /// Of the stage.
    pub tally: Tally,
    /// Readings of all stages that are to be taken again.
    pub lapsed: usize,
    /// The first stop point below its rung that does not let anybody on.
    pub held: Option<Stop>,
}

/// A line of the list of tests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Row {
    /// Tests of this connector follow.
    Connector(Option<Id<Connector>>),
    /// A test, by its place.
    Test(usize),
}

impl Tests {
    /// The line of a test in the list.
    pub fn row_of(&self, test: usize) -> usize {
        // Lines of connectors push a test down, never up.
        let rows = self.rows.iter().skip(test);
        let before = rows.take_while(|row| **row != Row::Test(test)).count();
        (test + before).min(self.rows.len().saturating_sub(1))
    }
}

/// The tests of the stage shown.
pub fn tests(model: &Model) -> &Tests {
    model.derived.tests.get_or_init(|| {
        let see = tested(model);
        let stages = stages(&model.book);
        let place = model.meter.stage.min(stages.len().saturating_sub(1));
        let stage = stages.get(place).copied().unwrap_or(Stage::Through);
        let mut listed = listed(see, stage, &model.meter.known);
        let sieve = model.sieves.of(List::Tests);
        arrange(
            &sieve,
            &mut listed.tests,
            |test| said(&model.book, test),
            |_, _| By::Nothing,
        );
        Arc::new(Tests {
            stage,
            of: (place, stages.len()),
            rung: stage.rung(&model.book),
            setup: stage.setup(&model.book),
            rows: rows(&model.book, &listed.tests),
            listed,
        })
    })
}

/// How the tests of the stage shown stand.
pub fn stand(model: &Model) -> &Stand {
    model.derived.stand.get_or_init(|| {
        let (book, tests) = (&model.book, tests(model));
        Stand {
            tally: tally(book, &tests.listed.tests),
            lapsed: lapsed(book).len(),
            held: tests.rung.and_then(|rung| stops(model).before(book, rung)),
        }
    })
}

fn rows(book: &Book, tests: &[Test]) -> Vec<Row> {
    let mut rows = Vec::with_capacity(tests.len() + 20);
    let mut last = None;
    for (at, test) in tests.iter().enumerate() {
        let of = connector_of(book, test);
        if of != last {
            rows.push(Row::Connector(of));
            last = of;
        }
        rows.push(Row::Test(at));
    }
    rows
}

fn tested(model: &Model) -> &Arc<Snapshot> {
    let tested = &model.derived.tested;
    tested.get_or_init(|| Arc::new(Snapshot::new(Arc::clone(&model.book))))
}

/// The tests of all stages, without their windows.
pub fn stops(model: &Model) -> &Arc<Stops> {
    let stops = &model.derived.stops;
    stops.get_or_init(|| Arc::new(Stops::of(tested(model))))
}

/// All words of a test.
fn said(book: &Book, test: &Test) -> String {
    let wires: Vec<String> = test.wires.iter().map(|id| book.label_of(*id)).collect();
    let name = book.get(test.at).map_or("", |c: &Cavity| &c.name);
    format!(
        "{} {name} {} {} {} {} {}",
        book.cavity_name(test.at),
        test.against_words(book),
        aside(book, test),
        expected_words(test),
        wires.join(" "),
        test.hint
    )
}

/// The test the cursor is on.
pub fn at_hand(model: &Model) -> Option<&Test> {
    let tests = &tests(model).listed.tests;
    tests.get(model.meter.at.min(tests.len().saturating_sub(1)))
}

/// The temporary links that stand, the oldest first.
pub fn links(book: &Book) -> Vec<&TemporaryLink> {
    let mut links: Vec<&TemporaryLink> = book.all::<TemporaryLink>().values().collect();
    links.sort_by_key(|link| (link.at, link.id));
    links
}

/// A temporary link in a sentence.
pub fn link_words(book: &Book, link: &TemporaryLink) -> String {
    format!(
        "{} from {} to {}, {}",
        link.words,
        book.end_name(link.from),
        book.end_name(link.to),
        link.why
    )
}

/// What tells a test from others at the same places: the switch held, the sensor's end; may be empty.
pub fn aside(book: &Book, test: &Test) -> String {
    match (test.kind, &test.held) {
        (TestKind::Release, Some(held)) => format!("{}, time", held_words(book, held)),
        (_, Some(held)) => held_words(book, held),
        (TestKind::AtRest, _) => "rest".to_owned(),
        (TestKind::AtFull, _) => "full".to_owned(),
        (TestKind::Draw, _) => "draw".to_owned(),
        _ => String::new(),
    }
}

/// The connector a test's first lead is at.
pub fn connector_of(book: &Book, test: &Test) -> Option<Id<Connector>> {
    book.get(test.at).map(|c: &Cavity| c.connector)
}

/// What is expected, short (`0 to 0.24 Ω`, `open`, `floats`, `?`).
pub fn expected_words(test: &Test) -> String {
    match &test.expected {
        _ if test.expected.is_open() => "open".to_owned(),
        Expected::Floats => "floats, 0 V".to_owned(),
        Expected::CannotTell(_) => "cannot tell".to_owned(),
        Expected::Within { least, most } => window(*least, *most, test.measure()),
    }
}

/// A window in words.
pub fn window(least: Option<f64>, most: Option<f64>, measure: &str) -> String {
    // Amperes are what units draw at rest: fractions of one.
    if measure == "A" {
        let milli = |a: Option<f64>| a.map(|a| a * 1000.0);
        return window(milli(least), milli(most), "mA");
    }
    let shown = |value: f64| match (measure, value) {
        ("Ω", v) if v >= 1000.0 => format!("{} k", rounded(v / 1000.0)),
        ("Ω", v) => format!("{} ", short(v)),
        (_, v) => format!("{} ", short(v)),
    };
    match (least, most) {
        (Some(least), Some(most)) => format!("{} to {}{measure}", shown(least).trim_end(), shown(most)),
        (Some(least), None) => format!("above {}{measure}", shown(least)),
        (None, Some(most)) => format!("up to {}{measure}", shown(most)),
        (None, None) => "nothing told".to_owned(),
    }
}

/// To a hundredth, or as a meter shows it above a hundred.
fn short(value: f64) -> String {
    let step = if value.abs() >= 100.0 { 1.0 } else { 100.0 };
    rounded((value * step).round() / step + 0.0).to_string()
}

/// What was read, short.
pub fn read_words(reading: &Reading) -> String {
    match reading.value {
        None => "open".to_owned(),
        Some(value) if reading.measure == "V" && reading.current_a.is_some() => {
            format!("{} mV", short(value * 1000.0))
        }
        Some(value) if reading.measure == "A" => format!("{} mA", short(value * 1000.0)),
        Some(value) if reading.measure == "Ω" && value >= 1000.0 => {
            format!("{} kΩ", rounded(value / 1000.0))
        }
        Some(value) => format!("{} {}", rounded(value), reading.measure),
    }
}

/// The reading that answers a test.
pub fn answer<'a>(model: &'a Model, test: &Test) -> Option<&'a Reading> {
    reading_of(&model.book, test)
}
