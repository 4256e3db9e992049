//! Sessions of fault finding.

use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{Book, model::FaultFinding};

use super::{Cell, Sheet};

/// Sessions in the order in which they ended.
pub(crate) fn in_order(book: &Book) -> Vec<&FaultFinding> {
    let mut rows: Vec<&FaultFinding> = book.all::<FaultFinding>().values().collect();
    rows.order_by(|row| (row.at, row.id));
    rows
}

pub(super) fn fault_findings(book: &Book) -> Sheet {
    Sheet::of(
        "fault_findings",
        "Faults that were looked for in the vehicle",
        book,
        in_order(book),
        &[
            ("at", "When it ended", |_, f| Cell::Moment(f.at)),
            ("who", "Who", |_, f| Cell::text(&f.who)),
            ("said", "What was seen and read, state by state", |_, f| {
                Cell::text(f.said_words())
            }),
            ("suspects", "The likeliest single faults at the end", |_, f| {
                Cell::text(&f.suspects)
            }),
            ("found", "Whether the fault was found", |_, f| {
                Cell::text(if f.found { "yes" } else { "no" })
            }),
            (
                "outcome",
                "What it was and what was done, or how it was left",
                |_, f| Cell::text(&f.outcome),
            ),
        ],
    )
}
