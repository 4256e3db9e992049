//! The loom map on the vehicle's plan: zones where they lie, trunks between them, as thick as wires run in them.
//!
//! The plan is neutral, an outline with a front: no vehicle is measured. Zones are moved apart where they would cover each
//! other; trunks run the shortest way from zone to zone, for the workbook does not hold their way.

mod pads;
mod ways;

use crimpbook_workbook::Book;

use super::{
    loom::{Loom, Trunk, place_words},
    paint::INK,
    strokes::{SOFT, WIDE, drawing, figure, rect, words, words_about, words_to, wrapped},
};
use crate::markup::{Element, el};
use pads::Pads;

/// The map; none where no zone has a place on the plan.
pub fn plan_map(book: &Book, loom: &Loom) -> Option<Element> {
    let pads = Pads::of(book, loom)?;
    let key = key(book, loom);
    let below = pads.bottom + 22.0;
    let told = format!(
        "{} zones on the vehicle's plan, the front above, and {} trunks between them. The table below names every wire in each.",
        pads.all.iter().filter(|p| p.on_plan).count(),
        loom.trunks.iter().filter(|t| t.bundle.is_some()).count()
    );
    let svg = drawing(
        "loom-map",
        WIDE,
        below + 16.0 * key.len() as f64 + 4.0,
        "Loom map: zones and trunks on the vehicle's plan",
        &told,
    )
    .children(outline(pads.floor))
    .children(ways::drawn(book, loom, &pads))
    .children(pads.all.iter().map(|pad| pad.drawn(book)))
    .children(
        key.iter()
            .enumerate()
            .map(|(at, text)| words((4.0, below + 16.0 * at as f64), 12.0, text)),
    );
    Some(svg)
}

/// The vehicle from above, with words for where its front is.
fn outline(floor: f64) -> Vec<Element> {
    let path = format!(
        "M 10 120 Q 10 30 120 30 L 640 30 Q 750 30 750 120 L 750 {low} Q 750 {floor} 720 {floor} L 40 {floor} Q 10 {floor} 10 {low} Z",
        low = figure(floor - 30.0),
        floor = figure(floor),
    );
    let soft = |words: Element| words.attr("fill", SOFT);
    vec![
        el("path")
            .attr("d", path)
            .attr("fill", "#fbfbfa")
            .attr("stroke", INK)
            .attr("stroke-width", 2),
        el("path")
            .attr("d", "M 380 4 L 388 18 L 372 18 Z")
            .attr("fill", INK),
        soft(words_about((420.0, 17.0), 12.5, "front")),
        soft(words((10.0, 20.0), 12.5, "left side")),
        soft(words_to((750.0, 20.0), 12.5, "right side")),
    ]
}

/// What runs in each trunk, in lines under the plan.
fn key(book: &Book, loom: &Loom) -> Vec<String> {
    loom.trunks
        .iter()
        .flat_map(|trunk| {
            let wires: usize = trunk.between.values().map(Vec::len).sum();
            let parts: Vec<String> = trunk
                .between
                .iter()
                .map(|((a, b), wires)| {
                    let (a, b) = (place_words(book, *a), place_words(book, *b));
                    let n = wires.len();
                    if a == b {
                        format!("{n} within {a}")
                    } else {
                        format!("{n} {a} – {b}")
                    }
                })
                .collect();
            let text = format!(
                "{}: {wires} {}: {}",
                trunk_words(book, trunk),
                if wires == 1 { "wire" } else { "wires" },
                parts.join(", ")
            );
            wrapped(&text, WIDE - 8.0, 12.0, 3)
        })
        .collect()
}

/// A trunk's name.
fn trunk_words(book: &Book, trunk: &Trunk) -> String {
    match trunk.bundle {
        Some(id) => format!("trunk {}", book.label_of(id)),
        None => "in no trunk".to_owned(),
    }
}

/// A box with round corners and words in its middle.
fn tag((x, y): (f64, f64), width: f64, text: &str) -> Element {
    el("g")
        .child(
            rect((x - width / 2.0, y - 10.0), (width, 20.0), 10.0)
                .attr("fill", "#ffffff")
                .attr("stroke-width", 1.2),
        )
        .child(words_about((x, y + 4.0), 11.5, text))
}
