//! Switches, states, expressions, rules.

use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, StateResult},
    model::{Cavity, Expression, Rule, State, Switch},
    rules::shown,
};

use super::{Cell, Column, Sheet};
use crate::{
    order::{self, by_label},
    volts::{Expected, is_joined},
    words,
};

pub(super) fn switches(book: &Book) -> Sheet {
    Sheet::of(
        "switches",
        "Switches, and leads that are in or out",
        book,
        by_label::<Switch>(book),
        &[
            ("switch", "Name", |_, s| Cell::text(&s.label)),
            ("is", "What it is", |_, s| Cell::text(words::switch_kind(s.kind))),
            ("positions", "Its positions, the one at rest first", |_, s| {
                Cell::text(s.positions.join(", "))
            }),
            ("unit", "The unit it is part of", |book, s| {
                s.unit.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("note", "Anything else", |_, s| Cell::text(&s.note)),
        ],
    )
}

pub(super) fn states(book: &Book) -> Sheet {
    let mut rows: Vec<&State> = book.all::<State>().values().collect();
    rows.order_by(|s| (s.order, s.id));
    Sheet::of(
        "states",
        "Operating states",
        book,
        rows,
        &[
            ("state", "Name", |_, s| Cell::text(&s.label)),
            ("words", "What it is", |_, s| Cell::text(&s.words)),
            ("supply_v", "Supply voltage where not the usual, V", |_, s| {
                s.supply_v.into()
            }),
            (
                "switches",
                "Positions of switches; one that is not named rests",
                |book, s| {
                    let at: Vec<String> = s
                        .switches
                        .iter()
                        .map(|p| format!("{} {}", book.label_of(p.switch), p.position))
                        .collect();
                    Cell::text(at.join("; "))
                },
            ),
            ("inside_parts", "Positions given to inside parts", |book, s| {
                let at = s.parts.iter().map(|p| {
                    let assumed = if p.assumed { " (assumed)" } else { "" };
                    format!(
                        "{} {}{assumed}",
                        book.label_of(p.part),
                        words::part_position(p.position)
                    )
                });
                Cell::text(at.collect::<Vec<_>>().join("; "))
            }),
        ],
    )
}

pub(super) fn volts(see: &Snapshot) -> Sheet {
    let book = see.book();
    let columns = [
        ("cavity", "The cavity"),
        ("state", "The state, plugs on"),
        ("expected_v", "Volts to expect; empty: floats or goes to and fro"),
        (
            "against",
            "Against the unit's own ground, or battery negative where it has none",
        ),
        ("words", "The same in words"),
    ];
    let row = |cavity: &Cavity, state: &StateResult| {
        let expected = Expected::at(see, state, cavity.id);
        let (volts, against) = match expected {
            Expected::Own(volts) => (Cell::measured(volts), "own ground"),
            Expected::Negative(volts) => (Cell::measured(volts), "battery negative"),
            Expected::Floating | Expected::Unsteady(..) => (Cell::Nothing, ""),
        };
        vec![
            Cell::text(book.cavity_name(cavity.id)),
            Cell::text(book.label_of(state.state)),
            volts,
            Cell::text(against),
            Cell::text(expected.words()),
        ]
    };
    let joined = order::cavities(book).into_iter().filter(|c| is_joined(see, c));
    Sheet {
        name: "volts",
        about: "Volts to expect at every cavity that something is joined to, computed",
        columns: Column::list(&columns),
        rows: joined
            .flat_map(|cavity| see.states().iter().map(move |state| (cavity, state)))
            .map(|(cavity, state)| row(cavity, state))
            .collect(),
    }
}

pub(super) fn expressions(book: &Book) -> Sheet {
    Sheet::of(
        "expressions",
        "Named expressions over what a unit reads",
        book,
        by_label::<Expression>(book),
        &[
            ("expression", "Name", |_, e| Cell::text(&e.label)),
            ("unit", "The unit whose behaviour it is", |book, e| {
                Cell::text(book.label_of(e.unit))
            }),
            ("text", "The expression", |book, e| {
                Cell::text(shown(book, &e.text))
            }),
            ("note", "Anything else", |_, e| Cell::text(&e.note)),
        ],
    )
}

pub(super) fn rules(book: &Book) -> Sheet {
    Sheet::of(
        "rules",
        "Statements that must hold in every combination of switches",
        book,
        by_label::<Rule>(book),
        &[
            ("rule", "Short name", |_, r| Cell::text(&r.label)),
            ("words", "In words", |_, r| Cell::text(&r.words)),
            ("text", "As an expression", |book, r| {
                Cell::text(shown(book, &r.text))
            }),
            ("rests_on", "What it rests on", |_, r| {
                Cell::text(words::rests(r.rests_on))
            }),
            ("note", "What is known of it so far", |_, r| Cell::text(&r.note)),
        ],
    )
}
