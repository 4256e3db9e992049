//! The loom map, and every wire in each trunk.

use crimpbook_workbook::model::Wire;

use super::{
    RecordInput,
    table::{Row, coloured, link, table},
};
use crate::{
    draw::{Loom, loom_map, place_words, plan_map},
    markup::{Element, el},
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let loom = Loom::of(book);
    let mut elements = Vec::new();
    let (how, map) = match plan_map(book, &loom) {
        Some(svg) => (
            "Zones stand where the workbook says that they lie, in parts of the vehicle's length and width, and are moved apart \
             where they would cover each other. Trunks are drawn the shortest way from zone to zone; the workbook does not hold \
             their way, nor how far it is. A broken outline is a wet zone. A figure counts the wires that run there.",
            Some(svg),
        ),
        None => (
            "Not written: where in the vehicle each zone lies (Parts, zones, from the front and from the left). So zones stand in \
             the order that keeps trunks short. A broken outline is a wet zone. A number in a circle counts the wires that pass \
             there.",
            loom_map(book, &loom),
        ),
    };
    match map {
        Some(svg) => {
            elements.push(el("p").text(how));
            elements.push(el("figure").class("whole").child(svg));
        }
        None => elements.push(
            el("p")
                .class("none")
                .text("No zone is recorded, so there is no map to draw."),
        ),
    }
    let rows = loom.trunks.iter().flat_map(|trunk| {
        let name = trunk
            .bundle
            .map_or_else(|| "in no trunk".to_owned(), |id| book.label_of(id));
        trunk.between.iter().map(move |((from, to), wires)| {
            let between = if from == to {
                format!("within {}", place_words(book, *from))
            } else {
                format!("{} to {}", place_words(book, *from), place_words(book, *to))
            };
            let each = wires.iter().filter_map(|id| book.get::<Wire>(*id)).map(|wire| {
                el("span")
                    .class("run")
                    .child(link("wire", wire.id, &wire.label))
                    .text(" ")
                    .child(coloured(wire.colour))
                    .text(" ")
            });
            Row::new()
                .name(name.clone())
                .text(between)
                .text(wires.len().to_string())
                .cell(el("td").children(each))
        })
    });
    elements.push(table(
        "What runs in each trunk",
        "trunks",
        &["Trunk", "Between", "Wires", "Which"],
        rows,
    ));
    elements
}
