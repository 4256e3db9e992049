//! Tests with a meter: what to expect and what was read; what is to be read again; contacts; the ladder with its stops.

use crimpbook_core::quantity::rounded;
use crimpbook_workbook::{
    Book,
    measure::{
        Expected, Known, Stage, Standing, Stop, Stops, Test, crimps, ladder, lapsed, listed, reading_of,
        tally,
    },
    model::{End, Reading},
};

use super::{
    RecordInput,
    table::{Row, table},
};
use crate::markup::{Element, el};

/// Stages beside the states with all plugs on, and whether each of their tests is listed or only what is not plainly open.
const STAGES: &[(Stage, bool)] = &[
    (Stage::Through, true),
    (Stage::Chassis, false),
    (Stage::Supply, false),
    (Stage::Neighbours, false),
    (Stage::Parts, true),
    (Stage::Rails, true),
    (Stage::Controller, true),
    (Stage::Sensors, true),
    (Stage::Joining, true),
    (Stage::Contactors, true),
    (Stage::Precharge, true),
];

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut elements = vec![el("p").text(
        "Made from the nets and the units' inside parts; tests, order and set windows are common practice, the units' manuals \
         win. Volts to expect in a state with all plugs on stand in their own section. A reading holds as long as what it tested is not changed.",
    )];
    elements.extend(again(book));
    for (stage, whole) in STAGES {
        let found = listed(input.snapshot, *stage, &Known::default());
        let tally = tally(book, &found.tests);
        let rung = stage
            .rung(book)
            .map_or(String::new(), |rung| format!("{}: ", rung.name));
        elements.push(el("h3").text(format!("{rung}{}", stage.title(book))));
        elements.push(el("p").text(format!(
            "{} {} of {} read, {} wrong, {} to be read again.",
            stage.setup(book),
            tally.done,
            tally.total,
            tally.failed,
            tally.lapsed
        )));
        let shown = found.tests.iter().filter(|test| *whole || !is_plain(book, test));
        let rows: Vec<Row> = shown.map(|test| row(book, test)).collect();
        if rows.is_empty() && !whole {
            elements.push(el("p").class("none").text("No exception."));
        } else {
            elements.push(table(
                &stage.title(book),
                "tests",
                &["Test", "At", "To", "Expected", "Read", "When (UTC), who", "Note"],
                rows,
            ));
        }
        elements.extend(found.untold.iter().map(|words| el("p").text(words)));
    }
    elements.extend(contacts(book));
    elements.push(rungs(input));
    elements
}

/// The ladder with what was read on each rung.
fn rungs(input: &RecordInput<'_>) -> Element {
    let stops = Stops::of(input.snapshot).standing(input.book());
    let below = stops.iter().find(|stop| stop.rung.is_none());
    let words = |stop: Option<&Stop>| stop.map_or_else(|| "nothing to measure".to_owned(), Stop::words);
    let dead = Row::new()
        .name("–")
        .text("power off")
        .text("the tests above")
        .text(words(below));
    let rungs = ladder().iter().map(|rung| {
        let stop = stops.iter().find(|stop| stop.rung == Some(rung));
        Row::new()
            .name(rung.name)
            .text(rung.setup)
            .text(rung.expect)
            .text(words(stop))
    });
    table(
        "Power up in this order and stop at the first wrong value: nothing above a step that is not passed",
        "ladder",
        &["Step", "Set up", "Expect", "Stands"],
        std::iter::once(dead).chain(rungs),
    )
}

/// Whether a test of a sweep is open as it should be, or not read: counted, not listed.
fn is_plain(book: &Book, test: &Test) -> bool {
    reading_of(book, test).is_none_or(|reading| Standing::of(reading) == Standing::Passed)
}

/// What a reading came to, with its mark.
fn outcome(reading: &Reading) -> String {
    let stands = Standing::of(reading);
    format!("{} {}", stands.mark(), stands.words())
}

fn read(reading: &Reading) -> String {
    reading.value.map_or_else(
        || "open".to_owned(),
        |value| format!("{} {}", rounded(value), reading.measure),
    )
}

fn row(book: &Book, test: &Test) -> Row {
    let kind = match test.held_words(book) {
        Some(held) => format!("{}, {held}", test.kind.words()),
        None => test.kind.words().to_owned(),
    };
    let row = Row::new()
        .text(kind)
        .name(book.cavity_name(test.at))
        .text(test.against_words(book))
        .text(expected(test));
    match reading_of(book, test) {
        None => row.text("").text("").text(""),
        Some(reading) => row
            .text(format!("{} {}", read(reading), outcome(reading)))
            .text(format!(
                "{}, {}",
                reading.taken.format("%Y-%m-%d %H:%M"),
                reading.who
            ))
            .text(format!(
                "{} {}",
                reading.note,
                reading.lapsed.as_deref().unwrap_or_default()
            )),
    }
}

/// What to expect, in words.
pub(crate) fn expected(test: &Test) -> String {
    // What units draw is fractions of an ampere.
    let (factor, measure) = match test.measure() {
        "A" => (1000.0, "mA"),
        measure => (1.0, measure),
    };
    let figure = |v: f64| rounded((v * factor * 100.0).round() / 100.0 + 0.0);
    match &test.expected {
        Expected::CannotTell(why) => format!("cannot tell: {why}"),
        Expected::Floats => "floats, about 0 V".to_owned(),
        expected if expected.is_open() => "open".to_owned(),
        Expected::Within { least, most } => match (least, most) {
            (Some(least), Some(most)) => {
                format!("{} to {} {measure}", figure(*least), figure(*most))
            }
            (Some(least), None) => format!("above {} {}", figure(*least), measure),
            (None, Some(most)) => format!("up to {} {}", figure(*most), measure),
            (None, None) => "not known".to_owned(),
        },
    }
}

/// Readings whose wire, ends or state were changed afterwards and that no later one replaces.
fn again(book: &Book) -> Vec<Element> {
    let lapsed = lapsed(book);
    if lapsed.is_empty() {
        return Vec::new();
    }
    let rows = lapsed.into_iter().map(|reading| {
        Row::new()
            .name(book.cavity_name(reading.at_cavity))
            .text(match reading.against {
                End::Free => String::new(),
                end => book.end_name(end),
            })
            .text(
                reading
                    .state
                    .map_or_else(|| "power off".to_owned(), |id| book.label_of(id)),
            )
            .text(read(reading))
            .text(reading.lapsed.as_deref().unwrap_or_default())
    });
    vec![table(
        "To be read again: what was tested was changed afterwards",
        "lapsed",
        &["At", "To", "State", "Read then", "Because"],
        rows,
    )]
}

/// Contacts, the worst first.
fn contacts(book: &Book) -> Option<Element> {
    let found = crimps(book);
    if found.is_empty() {
        return None;
    }
    let milliohms = |ohm: f64| format!("{:.0} mΩ", ohm * 1000.0);
    let rows = found.iter().map(|crimp| {
        Row::new()
            .name(book.label_of(crimp.wire))
            .text(crimp.ohm.map_or_else(String::new, milliohms))
            .text(milliohms(crimp.limit_ohm))
            .text(crimp.verdict.words())
    });
    Some(table(
        "Contacts and crimps, the worst first",
        "contacts",
        &["Wire", "Beyond the conductor", "Their limits together", "That is"],
        rows,
    ))
}
