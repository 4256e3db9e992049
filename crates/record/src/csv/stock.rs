//! What lies on the shelf, the house's colours, terminal numbers.

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{ColourUse, Drum, StockLine, TerminalNumber},
};

use super::{Cell, Sheet};
use crate::order::by_label;

pub(super) fn drums(book: &Book) -> Sheet {
    Sheet::of(
        "drums",
        "Drums of wire, as they were before the first wire of this loom was cut",
        book,
        by_label::<Drum>(book),
        &[
            ("drum", "Short name", |_, d| Cell::text(&d.label)),
            ("area_mm2", "Conductor area, mm²", |_, d| {
                Cell::Number(d.area_mm2)
            }),
            (
                "size_written",
                "The size as written, where it is not in mm²",
                |_, d| Cell::text(&d.size_written),
            ),
            (
                "insulation_class_c",
                "Insulation class where not the workbook's, °C",
                |_, d| d.insulation_class_c.into(),
            ),
            ("colour", "Colour and tracer, letters of IEC 60757", |_, d| {
                d.colour.map_or(Cell::Nothing, |c| Cell::text(c.to_string()))
            }),
            ("stock_m", "Length in stock, m", |_, d| Cell::Number(d.stock_m)),
            ("note", "Anything else", |_, d| Cell::text(&d.note)),
        ],
    )
}

pub(super) fn stock_lines(book: &Book) -> Sheet {
    Sheet::of(
        "stock",
        "Lines of the parts list that were counted",
        book,
        by_label::<StockLine>(book),
        &[
            ("line", "As the parts list words it", |_, s| Cell::text(&s.label)),
            ("have", "At hand before anything was ordered", |_, s| {
                Cell::Number(s.have)
            }),
            ("ordered", "Ordered in all", |_, s| Cell::Number(s.ordered)),
            ("here", "Of those ordered, come", |_, s| Cell::Number(s.here)),
            ("note", "Anything else", |_, s| Cell::text(&s.note)),
        ],
    )
}

pub(super) fn colour_uses(book: &Book) -> Sheet {
    let mut rows: Vec<&ColourUse> = book.all::<ColourUse>().values().collect();
    rows.order_by(|c| (c.purpose, c.colour, c.id));
    Sheet::of(
        "colour_uses",
        "Colours that the house keeps for one use of wires",
        book,
        rows,
        &[
            ("use", "What the wires are for", |_, c| {
                Cell::text(c.purpose.words())
            }),
            (
                "colour",
                "Letters of IEC 60757; without a tracer any will do",
                |_, c| c.colour.map_or(Cell::Nothing, |c| Cell::text(c.to_string())),
            ),
            ("note", "Anything else", |_, c| Cell::text(&c.note)),
        ],
    )
}

pub(super) fn terminal_numbers(book: &Book) -> Sheet {
    let mut rows: Vec<&TerminalNumber> = book.all::<TerminalNumber>().values().collect();
    rows.order_by(|t| (natural(&t.number), natural(&book.terminal_name(&t.at))));
    Sheet::of(
        "terminal_numbers",
        "Terminal numbers of DIN 72552 given to places",
        book,
        rows,
        &[
            ("number", "The number", |_, t| Cell::text(&t.number)),
            ("at", "Cavity, splice, stud or inner node", |book, t| {
                Cell::text(book.terminal_name(&t.at))
            }),
            ("meaning", "What the number means", |_, t| {
                crimpbook_core::tables::terminals::terminal(&t.number)
                    .map_or(Cell::Nothing, |row| Cell::text(row.meaning.as_ref()))
            }),
            ("note", "Anything else", |_, t| Cell::text(&t.note)),
        ],
    )
}
