//! The work packet of one connector: on paper at the car, typed in afterwards.

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{Connector, Id, Step},
    plan::{Standing, StepOf, of_wire, task},
};

use crate::csv::{Cell, Column, Sheet};
use crate::words;

/// Every wire that ends in a connector, cavity by cavity, with a box for each step there: `[x]` done, `[!]` failed or to be
/// redone, `[-]` left out, ` . ` not needed.
pub fn packet(book: &Book, connector: Id<Connector>) -> Sheet {
    let mut rows = Vec::new();
    let mut cavities = book.cavities_of(connector);
    cavities.order_by(|c| natural(&c.number));
    for cavity in cavities {
        for (id, end) in book.index().wires_at_cavity.of(&cavity.id) {
            let Some(wire) = book.get(*id) else { continue };
            let far = match end {
                crimpbook_workbook::model::WireEnd::From => wire.to,
                crimpbook_workbook::model::WireEnd::To => wire.from,
            };
            let here = crimpbook_workbook::model::Built::End { wire: *id, end: *end };
            let whole = crimpbook_workbook::model::Built::Wire(*id);
            let planned = of_wire(book, *id);
            let tick = |step: Step| {
                let found = planned
                    .iter()
                    .find(|s| s.step == step && (s.of == here || s.of == whole));
                Cell::text(found.map_or(" . ", |step| mark(book, *step)))
            };
            let mut row = vec![
                Cell::text(&cavity.number),
                Cell::text(&wire.label),
                Cell::text(if wire.area_mm2.is_some() {
                    words::size(wire).0
                } else {
                    String::new()
                }),
                Cell::text(wire.colour.map_or_else(String::new, |c| c.to_string())),
                Cell::text(book.end_name(far)),
            ];
            row.extend(STEPS.iter().map(|(_, step)| tick(*step)));
            rows.push(row);
        }
    }
    let mut columns = Column::list(&[
        ("cavity", "Number moulded beside it"),
        ("wire", "Label"),
        ("size", "Conductor"),
        ("colour", "IEC 60757 letters"),
        ("other_end", "Where the wire goes"),
    ]);
    columns.extend(STEPS.iter().map(|(head, _)| Column {
        head,
        meaning: "[x] done, [!] failed or to be redone, [-] left out, [ ] open",
    }));
    Sheet {
        name: "packet",
        about: "Work packet; 12 V battery off, plugs apart; count from the moulded 1, wire side in hand",
        columns,
        rows,
    }
}

/// The steps of a wire at a plug as the packet heads them, in working order.
pub const STEPS: &[(&str, Step)] = &[
    ("cut", Step::Cut),
    ("label", Step::Label),
    ("seal", Step::Seal),
    ("strip", Step::Strip),
    ("crimp", Step::Crimp),
    ("insert", Step::Insert),
    ("through", Step::Continuity),
    ("no_short", Step::NotShorted),
];

fn mark(book: &Book, step: StepOf) -> &'static str {
    match task(book, step).standing {
        Standing::Done => "[x]",
        Standing::Failed | Standing::Redo => "[!]",
        Standing::Skipped => "[-]",
        Standing::Open => super::BOX,
    }
}
