//! Connectors, contact families, cavities, candidates.

use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{
    Book,
    model::{Candidate, Connector, ContactFamily},
};

use super::{Cell, Sheet};
use crate::{
    order::{self, by_label},
    words,
};

pub(super) fn connectors(book: &Book) -> Sheet {
    Sheet::of(
        "connectors",
        "Plugs and headers",
        book,
        by_label::<Connector>(book),
        &[
            ("connector", "Short name", |_, c| Cell::text(&c.label)),
            ("name", "What it is", |_, c| Cell::text(&c.name)),
            ("unit", "The unit it belongs to", |book, c| {
                Cell::text(book.label_of(c.unit))
            }),
            (
                "sealed",
                "Whether its cavities are sealed; empty: not known",
                |_, c| c.sealed.into(),
            ),
            ("face", "How its cavities lie, in one line of words", |_, c| {
                Cell::text(&c.face)
            }),
            ("pin_plating", "What the unit's pins are plated with", |_, c| {
                c.pin_plating.map_or(Cell::Nothing, |p| Cell::text(p.words()))
            }),
            (
                "keying",
                "What keeps it from going into another header of the same shape",
                |_, c| Cell::text(&c.keying),
            ),
            (
                "couples_to",
                "The half it plugs into, where both are of this workbook",
                |book, c| {
                    c.couples_to
                        .map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
                },
            ),
            ("note", "Anything else", |_, c| Cell::text(&c.note)),
        ],
    )
}

pub(super) fn contact_families(book: &Book) -> Sheet {
    Sheet::of(
        "contact_families",
        "What is crimped on a wire, by class of cavity",
        book,
        by_label::<ContactFamily>(book),
        &[
            ("family", "Short name", |_, f| Cell::text(&f.label)),
            ("least_mm2", "Thinnest wire it takes, mm²", |_, f| {
                f.least_mm2.into()
            }),
            ("most_mm2", "Thickest wire it takes, mm²", |_, f| {
                f.most_mm2.into()
            }),
            (
                "seal_least_mm",
                "Thinnest insulation its seal grips, mm outside",
                |_, f| f.seal_least_mm.into(),
            ),
            (
                "seal_most_mm",
                "Thickest insulation its seal takes, mm outside",
                |_, f| f.seal_most_mm.into(),
            ),
            (
                "resistance_ohm",
                "One mated contact with its crimp, at most, Ω",
                |_, f| f.resistance_ohm.into(),
            ),
            ("plating", "What it is plated with", |_, f| {
                f.plating.map_or(Cell::Nothing, |p| Cell::text(p.words()))
            }),
            ("most_a", "Most current of a single mated contact, A", |_, f| {
                f.most_a.into()
            }),
            ("strip_mm", "Length to strip, mm", |_, f| f.strip_mm.into()),
            ("note", "Anything else", |_, f| Cell::text(&f.note)),
        ],
    )
}

pub(super) fn cavities(book: &Book) -> Sheet {
    Sheet::of(
        "cavities",
        "Numbered positions of connectors, and what is decided for them",
        book,
        order::cavities(book),
        &[
            ("connector", "The connector", |book, c| {
                Cell::text(book.label_of(c.connector))
            }),
            ("number", "Number as on the plug", |_, c| Cell::text(&c.number)),
            (
                "unit_number",
                "The unit's own number, where it differs",
                |_, c| Cell::text(&c.unit_number),
            ),
            ("function", "Function as the manual names it", |_, c| {
                Cell::text(&c.name)
            }),
            ("kind", "Kind of signal; empty: not known", |_, c| {
                c.kind.map_or(Cell::Nothing, |k| Cell::text(k.words()))
            }),
            ("limits", "What the manual states of it", |_, c| {
                Cell::text(words::limits(&c.limits))
            }),
            ("contact", "Contact family it takes", |book, c| {
                c.contact
                    .map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("decision", "What it gets", |book, c| {
                Cell::text(words::decision(book, c.decision))
            }),
            ("why", "Why", |_, c| Cell::text(&c.why)),
            ("wires", "Wires that end in it", |book, c| {
                Cell::text(wires(book, c.id))
            }),
            (
                "sealing_plug",
                "Whether a sealing plug is listed for it",
                |_, c| Cell::Flag(c.plug),
            ),
            ("page", "Page of the manual", |_, c| Cell::text(&c.page)),
            ("note", "Anything else", |_, c| Cell::text(&c.note)),
        ],
    )
}

fn wires(book: &Book, cavity: crimpbook_workbook::model::Id<crimpbook_workbook::model::Cavity>) -> String {
    let ends = book.index().wires_at_cavity.get(&cavity);
    let labels: Vec<String> = ends
        .into_iter()
        .flatten()
        .map(|(wire, _)| book.label_of(*wire))
        .collect();
    labels.join(", ")
}

pub(super) fn candidates(book: &Book) -> Sheet {
    let mut rows: Vec<&Candidate> = book.all::<Candidate>().values().collect();
    rows.order_by(|c| (crimpbook_workbook::book::natural(&book.cavity_name(c.sink)), c.id));
    Sheet::of(
        "candidates",
        "Sources weighed for an input",
        book,
        rows,
        &[
            ("cavity", "The cavity that needs a signal", |book, c| {
                Cell::text(book.cavity_name(c.sink))
            }),
            ("source", "The source", |_, c| Cell::text(&c.words)),
            (
                "source_cavity",
                "Its cavity, where it is of this workbook",
                |book, c| {
                    c.source
                        .map_or(Cell::Nothing, |id| Cell::text(book.cavity_name(id)))
                },
            ),
            ("verdict", "What came of it", |_, c| {
                Cell::text(words::verdict(c.verdict))
            }),
            ("why", "Why", |_, c| Cell::text(&c.why)),
        ],
    )
}
