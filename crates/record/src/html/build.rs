//! What was built and measured: by whom, when, and what has to be done again.

use std::collections::HashSet;

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    measure::Standing as Stands,
    model::{Built, Connector, End, Junction, Reading, StepDone, TemporaryLink, Wire, WireEnd},
    plan::{
        Progress, Standing, StepOf, Task, all_steps, of_connector, of_junction, of_pair, of_shield, of_wire,
        pairs, task,
    },
};

use super::{
    RecordInput,
    page::small,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

/// How far the build is, in a sentence.
pub(super) fn summary(book: &Book) -> String {
    let wires = book.all::<Wire>();
    let whole = wires
        .keys()
        .filter(|id| Progress::of_wire(book, **id).is_complete())
        .count();
    let all = Progress::of_all(book);
    format!(
        "{whole} of {} wires complete; {} of {} steps done ({} of them skipped), {} failed, {} to be redone",
        wires.len(),
        all.done,
        all.total,
        all.skipped,
        all.failed,
        all.redo,
    )
}

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let wires = by_label::<Wire>(book)
        .into_iter()
        .map(|w| (w.label.clone(), of_wire(book, w.id)));
    let junctions = by_label::<Junction>(book)
        .into_iter()
        .map(|j| (j.label.clone(), of_junction(book, j.id)));
    let connectors = by_label::<Connector>(book)
        .into_iter()
        .map(|c| (c.label.clone(), of_connector(book, c.id)));
    let pairs = pairs(book).into_iter().map(|pair| {
        let names: Vec<String> = pair.iter().map(|w| book.label_of(*w)).collect();
        (format!("pair {}", names.join(" ")), of_pair(&pair))
    });
    let shields = by_label::<Wire>(book)
        .into_iter()
        .map(|w| (format!("shield, {}", w.label), of_shield(book, w.id)));
    let things = wires
        .chain(pairs)
        .chain(shields)
        .chain(junctions)
        .chain(connectors)
        .filter(|(_, steps)| !steps.is_empty());
    let planned: HashSet<StepOf> = all_steps(book).into_iter().collect();
    let rows = things.map(|(name, steps)| {
        let progress = Progress::of(book, steps.iter().copied());
        let tasks: Vec<Task<'_>> = steps.into_iter().map(|step| task(book, step)).collect();
        Row::new()
            .name(name)
            .text_parts(&[&format!("{} of {}", progress.done, progress.total)])
            .cell(el("td").children(sittings(book, &tasks)))
            .cell(
                el("td")
                    .children(troubles(book, &tasks))
                    .children(not_yet(book, &tasks)),
            )
    });
    let rows: Vec<Row> = rows.collect();
    let left = book.all::<StepDone>().values().filter(|s| {
        !planned.contains(&StepOf {
            of: s.of,
            step: s.step,
        })
    });
    let left = left.map(|s| {
        Row::new()
            .name(book.built_name(s.of))
            .text(format!("{}: {}", s.step.words(), words::outcome(s)))
            .moment(s.at)
            .text(&s.who)
            .text(s.redo.as_deref().unwrap_or(&s.note))
    });
    let left: Vec<Row> = left.collect();
    let left = (!left.is_empty()).then(|| {
        table(
            "Steps that the plan no longer has",
            "left",
            &["Of", "Step", "When (UTC)", "Who", "Note"],
            left,
        )
    });
    let mut elements = vec![
        el("p").text(format!("{}.", summary(book))),
        table(
            "Build steps",
            "build",
            &[
                "Of",
                "Done",
                "Done, by whom and when (UTC)",
                "Failed, to be redone, not yet done",
            ],
            rows,
        ),
    ];
    elements.extend(left);
    elements.push(table(
        "Readings",
        "readings",
        &[
            "At",
            "State",
            "Test",
            "Read",
            "Expected",
            "When (UTC), who, meter",
            "Note",
        ],
        readings(book),
    ));
    elements.push(table(
        "Temporary links that are still in",
        "links",
        &["From", "To", "Is", "Why", "Put in (UTC)"],
        links(book),
    ));
    elements
}

/// Steps done or skipped, those of one person on one day in one line.
fn sittings(book: &Book, tasks: &[Task<'_>]) -> Vec<Element> {
    let mut by: Vec<(String, Vec<(StepOf, String)>)> = Vec::new();
    for task in tasks.iter().filter(|t| !t.standing.is_open()) {
        let Some(answer) = task.answer else { continue };
        let sitting = format!("{}, {}", answer.who, answer.at.format("%Y-%m-%d"));
        let skipped = if task.standing == Standing::Skipped {
            " skipped"
        } else {
            ""
        };
        let note = if answer.note.is_empty() {
            String::new()
        } else {
            format!(" ({})", answer.note)
        };
        let words = format!("{}{skipped}{note}", task.step.step.words());
        match by.iter_mut().find(|(known, _)| *known == sitting) {
            Some((_, list)) => list.push((task.step, words)),
            None => by.push((sitting, vec![(task.step, words)])),
        }
    }
    let line = |(sitting, list): (String, Vec<(StepOf, String)>)| {
        el("p")
            .text(format!("✓ {} ", by_place(book, &list)))
            .child(small(sitting))
    };
    by.into_iter().map(line).collect()
}

/// `cut, label both ends; strip, crimp, insert at MC-A1`.
fn by_place(book: &Book, steps: &[(StepOf, String)]) -> String {
    let groups = steps
        .chunk_by(|(one, _), (other, _)| one.of == other.of)
        .map(|group| {
            let words: Vec<&str> = group.iter().map(|(_, words)| words.as_str()).collect();
            let place = group
                .first()
                .map_or_else(String::new, |(step, _)| at(book, step.of));
            format!("{}{place}", words.join(", "))
        });
    groups.collect::<Vec<_>>().join("; ")
}

fn troubles(book: &Book, tasks: &[Task<'_>]) -> Vec<Element> {
    let trouble = tasks
        .iter()
        .filter(|t| matches!(t.standing, Standing::Failed | Standing::Redo));
    trouble
        .filter_map(|task| {
            let answer = task.answer?;
            let why = [answer.redo.as_deref().unwrap_or_default(), answer.note.as_str()];
            let why: Vec<&str> = why.into_iter().filter(|w| !w.is_empty()).collect();
            Some(
                el("p")
                    .child(el("b").text(format!("✗ {}", task.standing.words())))
                    .text(format!(
                        ": {}{}. {} ",
                        task.step.step.words(),
                        at(book, task.step.of),
                        why.join("; ")
                    ))
                    .child(small(format!("{}, {}", answer.who, answer.at.format("%Y-%m-%d")))),
            )
        })
        .collect()
}

fn not_yet(book: &Book, tasks: &[Task<'_>]) -> Option<Element> {
    let open = tasks.iter().filter(|t| t.standing == Standing::Open);
    let open: Vec<(StepOf, String)> = open.map(|t| (t.step, t.step.step.words().to_owned())).collect();
    match open.len() {
        0 => None,
        n if n == tasks.len() => Some(el("p").text("○ not begun")),
        _ => Some(el("p").text(format!("○ {}", by_place(book, &open)))),
    }
}

/// At which end, for a step of an end.
fn at(book: &Book, of: Built) -> String {
    match of {
        Built::End { wire, end } => {
            let far = book.get(wire).map(|w| match end {
                WireEnd::From => w.from,
                WireEnd::To => w.to,
            });
            far.map_or_else(String::new, |end| format!(" at {}", book.end_name(end)))
        }
        Built::Wire(_) | Built::Connector(_) | Built::Junction(_) => String::new(),
    }
}

fn readings(book: &Book) -> Vec<Row> {
    let mut readings: Vec<&Reading> = book.all::<Reading>().values().collect();
    readings.order_by(|r| (natural(&book.cavity_name(r.at_cavity)), r.taken, r.id));
    let row = |reading: &&Reading| {
        let bound = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), |v| v.to_string());
        let value = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), |v| format!("{v} {}", reading.measure));
        let read = reading.value.map_or_else(
            || "open circuit".to_owned(),
            |v| format!("{v} {}", reading.measure),
        );
        let expected = match (reading.expected_least, reading.expected_most) {
            (None, None) => "not known".to_owned(),
            (Some(least), None) => format!("above {least} {}", reading.measure),
            (least, most) => format!("{} to {}", bound(least), value(most)),
        };
        let right = match Stands::of(reading) {
            Stands::Passed => "✓ right",
            Stands::Failed => "✗ not as expected",
            Stands::Lapsed | Stands::Told | Stands::Open => "",
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
            .text(match (reading.test, reading.against) {
                (None, _) => String::new(),
                (Some(test), End::Free) => test.words().to_owned(),
                (Some(test), end) => format!("{}, to {}", test.words(), book.end_name(end)),
            })
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
