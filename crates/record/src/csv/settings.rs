//! Settings, trials with what they were driven with, steps of the first run, names of files.

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{AsDriven, FileNote, FirstRun, FirstRunStep, Row as _, Setting, Trial},
};

use super::{Cell, Column, Sheet};
use crate::{order::by_label, words};

pub(super) fn settings(book: &Book) -> Sheet {
    let mut rows: Vec<&Setting> = by_label::<Setting>(book);
    rows.order_by(|s| natural(&book.label_of(s.unit)));
    Sheet::of(
        "settings",
        "Parameters of the units' own software, as left",
        book,
        rows,
        &[
            ("unit", "The unit", |book, s| Cell::text(book.label_of(s.unit))),
            ("setting", "The unit's own name for it", |_, s| {
                Cell::text(&s.label)
            }),
            ("value", "Value as the unit shows it", |_, s| Cell::text(&s.value)),
            ("measure", "Unit of the value", |_, s| Cell::text(&s.measure)),
            ("role", "What it sets, where the program reads it", |_, s| {
                Cell::text(s.role.map_or("", |role| role.words()))
            }),
            ("least", "Least that is allowed", |_, s| s.least.into()),
            ("most", "Most that is allowed", |_, s| s.most.into()),
            ("default", "What the unit comes with", |_, s| {
                Cell::text(&s.default_value)
            }),
            ("page", "Page of the unit's manual", |_, s| Cell::text(&s.page)),
            ("cavities", "Cavities it belongs to", |book, s| {
                let names: Vec<String> = s.cavities.iter().map(|id| book.cavity_name(*id)).collect();
                Cell::text(names.join(", "))
            }),
            ("note", "Anything else", |_, s| Cell::text(&s.note)),
        ],
    )
}

fn in_order(book: &Book) -> Vec<&Trial> {
    let mut rows: Vec<&Trial> = book.all::<Trial>().values().collect();
    rows.order_by(|t| (t.at, t.id));
    rows
}

pub(super) fn trials(book: &Book) -> Sheet {
    Sheet::of(
        "trials",
        "Test drives",
        book,
        in_order(book),
        &[
            ("at", "When", |_, t| Cell::Moment(t.at)),
            ("who", "Who drove", |_, t| Cell::text(&t.who)),
            ("place", "Where", |_, t| Cell::text(&t.place)),
            ("conditions", "Weather, road, load, state of charge", |_, t| {
                Cell::text(&t.conditions)
            }),
            ("words", "What was tried", |_, t| Cell::text(&t.words)),
            ("changed", "The one thing that was changed before it", |_, t| {
                Cell::text(&t.changed)
            }),
            ("why", "Why that was changed", |_, t| Cell::text(&t.why)),
            ("felt", "What it felt like", |_, t| Cell::text(&t.felt)),
            ("marks", "Traits, from 1 (bad) to 5 (right)", |_, t| {
                Cell::text(words::marks(t))
            }),
            ("peaks", "Highest or lowest that was seen", |_, t| {
                Cell::text(words::peaks(t))
            }),
            ("faults", "Faults that the units told", |_, t| {
                Cell::text(&t.faults)
            }),
            ("next", "What to try next", |_, t| Cell::text(&t.next)),
        ],
    )
}

pub(super) fn trial_settings(book: &Book) -> Sheet {
    let columns = [
        ("at", "When the trial was driven"),
        ("unit", "The unit, as it was called then"),
        ("setting", "The setting, as it was called then"),
        ("value", "Its value then"),
        ("measure", "Unit of the value"),
    ];
    let row = |(trial, of): (&Trial, &AsDriven)| {
        vec![
            Cell::Moment(trial.at),
            Cell::text(&of.unit),
            Cell::text(&of.label),
            Cell::text(&of.value),
            Cell::text(&of.measure),
        ]
    };
    let driven = in_order(book)
        .into_iter()
        .flat_map(|trial| trial.settings.iter().map(move |of| (trial, of)));
    Sheet {
        name: "trial_settings",
        about: "The settings that each trial was driven with",
        columns: Column::list(&columns),
        rows: driven.map(row).collect(),
    }
}

pub(super) fn first_run(book: &Book) -> Sheet {
    let mut rows: Vec<&FirstRun> = book.all::<FirstRun>().values().collect();
    rows.order_by(|r| (r.step, r.at, r.id));
    Sheet::of(
        "first_run",
        "Steps of the first run that were gone through",
        book,
        rows,
        &[
            ("step", "Which step", |_, r| {
                Cell::text(FirstRunStep::words(r.step))
            }),
            ("at", "When", |_, r| Cell::Moment(r.at)),
            ("who", "Who", |_, r| Cell::text(&r.who)),
            ("revision", "Revision of the plan then", |_, r| {
                Cell::text(&r.revision)
            }),
            ("note", "What was seen", |_, r| Cell::text(&r.note)),
        ],
    )
}

pub(super) fn files(book: &Book) -> Sheet {
    let mut rows: Vec<&FileNote> = book.all::<FileNote>().values().collect();
    rows.order_by(|f| (natural(&f.name), f.id()));
    Sheet::of(
        "files",
        "Photos and files that are kept elsewhere",
        book,
        rows,
        &[
            ("name", "Name of the file", |_, f| Cell::text(&f.name)),
            ("of", "What it shows", |book, f| {
                f.of.map_or(Cell::Nothing, |key| Cell::text(book.name_of(key)))
            }),
            ("note", "What is seen on it", |_, f| Cell::text(&f.note)),
            ("at", "When it was noted", |_, f| Cell::Moment(f.at)),
            ("who", "Who noted it", |_, f| Cell::text(&f.who)),
        ],
    )
}
