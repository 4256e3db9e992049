//! The wire list.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::{About, Wire};

use super::{
    RecordInput,
    connectors::end_link,
    page::small,
    table::{Row, coloured, link, sized, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let rows = by_label::<Wire>(book).into_iter().map(|wire| {
        let pair = if wire.pair.is_empty() {
            String::new()
        } else {
            format!("pair {}", wire.pair)
        };
        let inline = wire.inline_fuse.map_or_else(String::new, |f| {
            format!(
                "{} in line, {} from {}",
                book.label_of(f.fuse),
                Kind::Length.print(f.from_end_m),
                book.end_name(wire.from)
            )
        });
        let more = [pair.as_str(), inline.as_str(), wire.note.as_str()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .map(|text| el("p").child(small(text)))
            .collect::<Vec<_>>();
        Row::at("wire", wire.id)
            .name(&wire.label)
            .cell(el("td").child(el("p").text(&wire.signal)).children(more))
            .cell(el("td").child(end_link(book, wire.from)))
            .cell(el("td").child(end_link(book, wire.to)))
            .cell(el("td").child(coloured(wire.colour)))
            .cell(el("td").child(sized(wire)))
            .figure(wire.length_m.map(|m| Kind::Length.print(m)))
            .text(wire.bundle.map_or_else(String::new, |id| book.label_of(id)))
            .cell(el("td").children(wire.fuse.map(|id| link("fuse", id, book.label_of(id)))))
    });
    let custom = book
        .all::<About>()
        .values()
        .map(|a| &a.colour_custom)
        .find(|custom| !custom.is_empty());
    let mut elements: Vec<Element> = custom
        .map(|custom| el("p").child(el("b").text("Colours of the house: ")).text(custom))
        .into_iter()
        .collect();
    elements.push(table(
        "Wires",
        "wires",
        &[
            "Wire",
            "Signal",
            "From",
            "To",
            "Colour",
            "Size",
            "Length",
            "Bundle",
            "Fuse meant",
        ],
        rows,
    ));
    elements
}
