//! What was built and measured: by whom, when, and what has to be done again.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    book::natural,
    model::{Built, Outcome, Reading, StepDone, TemporaryLink, Wire},
};

use super::{
    RecordInput, cover,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    words,
};

/// How far the build is, in a sentence.
pub(super) fn summary(book: &Book) -> String {
    if !cover::anything_built(book) {
        return "nothing is recorded as built".to_owned();
    }
    let steps = book.all::<StepDone>();
    let begun = book.index().steps_of.len();
    let count = |is: fn(&StepDone) -> bool| steps.values().filter(|s| is(s)).count();
    format!(
        "{begun} of {} wires begun: {} steps done, {} failed, {} skipped, {} to be redone",
        book.all::<Wire>().len(),
        count(|s| s.outcome == Outcome::Done && s.redo.is_none()),
        count(|s| s.outcome == Outcome::Failed && s.redo.is_none()),
        count(|s| s.outcome == Outcome::Skipped && s.redo.is_none()),
        count(|s| s.redo.is_some()),
    )
}

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut of: BTreeMap<_, Vec<&StepDone>> = BTreeMap::new();
    for step in book.all::<StepDone>().values() {
        let (group, name) = match step.of {
            Built::Wire(wire) | Built::End { wire, .. } => (0, book.label_of(wire)),
            Built::Connector(_) => (1, words::built(book, step.of)),
            Built::Junction(_) => (2, words::built(book, step.of)),
        };
        of.entry((group, natural(&name), name)).or_default().push(step);
    }
    let steps = of.into_iter().map(|((_, _, name), mut steps)| {
        steps.sort_by_key(|s| (s.at, s.of, s.step));
        Row::new()
            .name(name)
            .cell(el("td").children(sittings(book, &steps)))
            .cell(el("td").children(troubles(book, &steps)))
    });
    vec![
        el("p").text(format!("{}.", capital(&summary(book)))),
        table(
            "Build steps",
            "build",
            &[
                "Of",
                "Done, by whom and when (UTC)",
                "Failed, skipped or to be redone",
            ],
            steps,
        ),
        table(
            "Readings",
            "readings",
            &[
                "At",
                "State",
                "Read",
                "Expected",
                "When (UTC), who, meter",
                "Note",
            ],
            readings(book),
        ),
        table(
            "Temporary links that are still in",
            "links",
            &["From", "To", "Is", "Why", "Put in (UTC)"],
            links(book),
        ),
    ]
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|first| first.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// Steps done, those of one person on one day in one line.
fn sittings(book: &Book, steps: &[&StepDone]) -> Vec<Element> {
    let done = steps
        .iter()
        .filter(|s| s.outcome == Outcome::Done && s.redo.is_none());
    let mut by: Vec<(String, Vec<String>)> = Vec::new();
    for step in done {
        let sitting = format!("{}, {}", step.who, step.at.format("%Y-%m-%d"));
        let note = if step.note.is_empty() {
            String::new()
        } else {
            format!(" ({})", step.note)
        };
        let words = format!("{}{}{note}", step.step.words(), at(book, step));
        match by.last_mut() {
            Some((last, list)) if *last == sitting => list.push(words),
            _ => by.push((sitting, vec![words])),
        }
    }
    by.into_iter()
        .map(|(sitting, list)| {
            el("p")
                .text(format!("✓ {}: ", list.join(", ")))
                .child(el("span").class("small").text(sitting))
        })
        .collect()
}

fn troubles(book: &Book, steps: &[&StepDone]) -> Vec<Element> {
    let trouble = steps
        .iter()
        .filter(|s| s.outcome != Outcome::Done || s.redo.is_some());
    trouble
        .map(|step| {
            let why = [step.redo.as_deref().unwrap_or_default(), step.note.as_str()];
            let why: Vec<&str> = why.into_iter().filter(|w| !w.is_empty()).collect();
            el("p")
                .child(el("b").text(words::outcome(step)))
                .text(format!(
                    ": {}{}. {} ",
                    step.step.words(),
                    at(book, step),
                    why.join("; ")
                ))
                .child(el("span").class("small").text(format!(
                    "{}, {}",
                    step.who,
                    step.at.format("%Y-%m-%d")
                )))
        })
        .collect()
}

/// At which end, for a step of an end.
fn at(book: &Book, step: &StepDone) -> String {
    match step.of {
        Built::End { .. } => words::built(book, step.of)
            .split_once(' ')
            .map_or_else(String::new, |(_, at)| format!(" {at}")),
        _ => String::new(),
    }
}

fn readings(book: &Book) -> Vec<Row> {
    let mut readings: Vec<&Reading> = book.all::<Reading>().values().collect();
    readings.sort_by_cached_key(|r| (natural(&book.cavity_name(r.at_cavity)), r.taken, r.id));
    let row = |reading: &&Reading| {
        let value = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), |v| format!("{v} {}", reading.measure));
        let read = reading.value.map_or_else(
            || "open circuit".to_owned(),
            |v| format!("{v} {}", reading.measure),
        );
        let expected = match (reading.expected_least, reading.expected_most) {
            (None, None) => "not known".to_owned(),
            (least, most) => format!("{} to {}", value(least), value(most)),
        };
        let right = match (reading.value, reading.expected_least, reading.expected_most) {
            (Some(v), Some(least), Some(most)) => {
                if v >= least && v <= most {
                    "✓ right"
                } else {
                    "✗ not as expected"
                }
            }
            _ => "",
        };
        let lapsed = reading
            .lapsed
            .as_ref()
            .map(|why| el("p").child(el("b").text("no longer counts: ")).text(why));
        Row::new()
            .cell(el("th").attr("scope", "row").child(link(
                "cavity",
                reading.at_cavity,
                book.cavity_name(reading.at_cavity),
            )))
            .text(
                reading
                    .state
                    .map_or_else(|| "power off".to_owned(), |id| book.label_of(id)),
            )
            .cell(el("td").child(el("p").text(read)).child(el("p").text(right)))
            .text(expected)
            .text(format!(
                "{}, {} {}",
                reading.taken.format("%Y-%m-%d %H:%M"),
                reading.who,
                reading.meter
            ))
            .cell(el("td").text(&reading.note).children(lapsed))
    };
    readings.iter().map(row).collect()
}

fn links(book: &Book) -> Vec<Row> {
    let row = |l: &TemporaryLink| {
        Row::new()
            .text(book.end_name(l.from))
            .text(book.end_name(l.to))
            .text(&l.words)
            .text(&l.why)
            .moment(l.at)
    };
    book.all::<TemporaryLink>().values().map(row).collect()
}
