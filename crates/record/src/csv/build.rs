//! What was done: build steps, readings, temporary links, accepted findings.

use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    measure::{Expected, Known, Stage, Test, held_words, listed, reading_of, standing},
    model::{Acceptance, End, Reading, StepDone, TemporaryLink},
};

use super::{Cell, Column, Sheet};
use crate::words;

pub(super) fn steps(book: &Book) -> Sheet {
    let mut rows: Vec<&StepDone> = book.all::<StepDone>().values().collect();
    rows.order_by(|s| {
        (
            crimpbook_workbook::book::natural(&book.built_name(s.of)),
            s.step,
            s.at,
        )
    });
    Sheet::of(
        "build_steps",
        "Build steps that somebody answered for",
        book,
        rows,
        &[
            ("of", "What was built", |book, s| {
                Cell::text(book.built_name(s.of))
            }),
            ("step", "Which step", |_, s| Cell::text(s.step.words())),
            ("outcome", "What came of it", |_, s| Cell::text(words::outcome(s))),
            ("at", "When", |_, s| Cell::Moment(s.at)),
            ("who", "Who", |_, s| Cell::text(&s.who)),
            ("note", "What was measured or seen", |_, s| Cell::text(&s.note)),
            ("to_redo_because", "Why it has to be redone", |_, s| {
                Cell::text(s.redo.clone().unwrap_or_default())
            }),
        ],
    )
}

pub(super) fn readings(book: &Book) -> Sheet {
    let mut rows: Vec<&Reading> = book.all::<Reading>().values().collect();
    rows.order_by(|r| {
        (
            crimpbook_workbook::book::natural(&book.cavity_name(r.at_cavity)),
            r.taken,
            r.id,
        )
    });
    Sheet::of(
        "readings",
        "Measured values",
        book,
        rows,
        &[
            (
                "test",
                "Which test of the list; empty: a measurement of its own",
                |_, r| r.test.map_or(Cell::Nothing, |test| Cell::text(test.words())),
            ),
            ("at_cavity", "Where the meter's first lead was", |book, r| {
                Cell::text(book.cavity_name(r.at_cavity))
            }),
            (
                "against",
                "Where the second lead was; empty: chassis or battery negative",
                |book, r| match r.against {
                    End::Free => Cell::Nothing,
                    end => Cell::text(book.end_name(end)),
                },
            ),
            (
                "state",
                "State the vehicle was in; empty: power off",
                |book, r| r.state.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id))),
            ),
            (
                "held",
                "Switch that was held elsewhere than the state has it",
                |book, r| {
                    let held = r.held.as_ref();
                    held.map_or(Cell::Nothing, |held| Cell::text(held_words(book, held)))
                },
            ),
            ("value", "What was read; empty: open circuit", |_, r| {
                r.value.into()
            }),
            ("measure", "Unit of the value", |_, r| Cell::text(&r.measure)),
            ("expected_least", "Least that was right then", |_, r| {
                r.expected_least.into()
            }),
            ("expected_most", "Most that was right then", |_, r| {
                r.expected_most.into()
            }),
            (
                "current_a",
                "Known current sent through, A, where a contact was measured",
                |_, r| r.current_a.into(),
            ),
            (
                "leads_ohm",
                "The leads' own resistance, taken off before, Ω",
                |_, r| r.leads_ohm.into(),
            ),
            ("taken", "When", |_, r| Cell::Moment(r.taken)),
            ("who", "Who", |_, r| Cell::text(&r.who)),
            ("meter", "Which meter", |_, r| Cell::text(&r.meter)),
            ("lapsed_because", "Why it no longer counts", |_, r| {
                Cell::text(r.lapsed.clone().unwrap_or_default())
            }),
            ("note", "What was done about it", |_, r| Cell::text(&r.note)),
        ],
    )
}

/// Tests with a meter; volts to expect in a state with all plugs on have a table of their own.
pub(super) fn tests(see: &Snapshot) -> Sheet {
    let book = see.book();
    let columns = [
        ("test", "What kind of test"),
        ("at_cavity", "Where the meter's first lead goes"),
        ("against", "Where the second lead goes"),
        ("state", "State the vehicle is in; empty: power off"),
        ("held", "Switch that is held elsewhere than the state has it"),
        ("expected_least", "Least that is right"),
        (
            "expected_most",
            "Most that is right; empty: an open circuit is right too",
        ),
        ("measure", "Unit of these values"),
        ("cannot_tell", "Why nothing is expected, where it cannot be told"),
        ("stands", "How it stands by its last reading"),
        ("value", "What was read last; empty: open circuit, or nothing"),
    ];
    let row = |test: &Test| {
        let (least, most) = test.expected.bounds();
        let why = match &test.expected {
            Expected::CannotTell(why) => Cell::text(why),
            _ => Cell::Nothing,
        };
        let read = reading_of(book, test);
        vec![
            Cell::text(test.kind.words()),
            Cell::text(book.cavity_name(test.at)),
            Cell::text(test.against_words(book)),
            test.state
                .map_or(Cell::Nothing, |id| Cell::text(book.label_of(id))),
            test.held_words(book).map_or(Cell::Nothing, Cell::text),
            least.into(),
            most.into(),
            Cell::text(test.measure()),
            why,
            Cell::text(standing(book, test).words()),
            read.and_then(|reading| reading.value).into(),
        ]
    };
    let stages = [
        Stage::Through,
        Stage::Chassis,
        Stage::Supply,
        Stage::Neighbours,
        Stage::Parts,
        Stage::Rails,
        Stage::Controller,
        Stage::Sensors,
        Stage::Joining,
        Stage::Contactors,
        Stage::Precharge,
    ];
    let found = stages.map(|stage| listed(see, stage, &Known::default()));
    Sheet {
        name: "tests",
        about: "Tests with a meter, power off and while plugs go on one after the other, made from the nets and inside parts",
        columns: Column::list(&columns),
        rows: found.iter().flat_map(|found| &found.tests).map(row).collect(),
    }
}

pub(super) fn temporary_links(book: &Book) -> Sheet {
    Sheet::of(
        "temporary_links",
        "Bridges, lamps or terminators put in for a test",
        book,
        book.all::<TemporaryLink>().values(),
        &[
            ("from", "One end", |book, l| Cell::text(book.end_name(l.from))),
            ("to", "The other", |book, l| Cell::text(book.end_name(l.to))),
            ("words", "What it is", |_, l| Cell::text(&l.words)),
            ("why", "Why", |_, l| Cell::text(&l.why)),
            ("at", "When it was put in", |_, l| Cell::Moment(l.at)),
        ],
    )
}

pub(super) fn acceptances(book: &Book) -> Sheet {
    Sheet::of(
        "accepted_findings",
        "Findings that somebody accepted",
        book,
        book.all::<Acceptance>().values(),
        &[
            ("check", "The check", |_, a| Cell::text(&a.check)),
            ("places", "Where", |book, a| {
                Cell::text(words::places(book, &a.places))
            }),
            ("why", "Why it is accepted", |_, a| Cell::text(&a.why)),
            ("figure", "Its figure then", |_, a| a.figure.into()),
            ("at", "When", |_, a| Cell::Moment(a.at)),
            ("who", "Who", |_, a| Cell::text(&a.who)),
            ("lapsed_because", "Why it no longer counts", |_, a| {
                Cell::text(a.lapsed.clone().unwrap_or_default())
            }),
        ],
    )
}
