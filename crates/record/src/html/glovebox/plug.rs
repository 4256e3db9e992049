//! The second page: what the lamps mean and what a flat battery asks for, and the plug with the most cavities.

use crimpbook_workbook::{
    Book,
    model::{Cavity, Connector, Decision, View, Wire},
};

use super::{
    room::{HEADING_MM, LINE_MM, PAGE_MM, ROW_MM, lines_of, row_mm, short},
    run_in, table,
};
use crate::{
    draw::{face, side_words},
    html::service,
    markup::{Element, el},
    order::by_label,
    words,
};

/// The drawing of the face with its rim, mm.
const FACE_MM: f64 = 53.0;
/// A line of the table, which is set closer, mm.
const CLOSE_MM: f64 = 4.25;
/// Letters of a cavity's function to a line, and of its wires.
const NAME: usize = 12;
const WIRE: usize = 10;
/// Lines of a note at most.
const NOTE: usize = 3;

pub(super) fn page(book: &Book) -> Option<Element> {
    let notes = service::notes(book);
    let told = [
        run_in(
            "12 V flat",
            notes.flat.trim(),
            "what to do with a flat 12 V battery",
            NOTE,
        ),
        run_in("Lamps", notes.lamps.trim(), "what its lamps mean", NOTE),
    ];
    let taken: f64 = told.iter().map(|(_, lines)| *lines as f64 * LINE_MM).sum();
    let plug = plug(book, PAGE_MM - taken);
    let page = el("section")
        .class("side")
        .attr("id", "second")
        .children(told.map(|(note, _)| note));
    Some(page.children(plug?))
}

/// The plug in so much height.
fn plug(book: &Book, height_mm: f64) -> Option<Vec<Element>> {
    // The first by name of those with the most cavities.
    let plug = by_label::<Connector>(book)
        .into_iter()
        .rev()
        .max_by_key(|connector| book.cavities_of(connector.id).len())?;
    let cavities: Vec<&Cavity> = book.cavities_of(plug.id).to_vec();
    if cavities.is_empty() {
        return None;
    }
    let unit = book.get(plug.unit).map_or("", |unit| unit.name.as_str());
    let room = height_mm - HEADING_MM - FACE_MM - row_mm(1);
    let (shown, one_line) = chosen(book, &cavities, room);
    let left_out = cavities.len() - shown.len();
    let half = shown.len().div_ceil(2).max(1);
    let columns = shown.chunks(half).map(|some| {
        table(
            if one_line { "plug one" } else { "plug" },
            &["No.", "Function", "Wire"],
            some.iter().map(|cavity| hole(book, cavity, one_line)),
        )
    });
    let title = short(&format!("{} {unit}, {} cavities", plug.label, cavities.len()), 52);
    let mut parts = vec![
        el("h2").text(title),
        el("figure")
            .child(face(book, plug, View::WireSide))
            .child(el("figcaption").text(format!(
                "{} {}",
                short(&plug.label, 20),
                side_words(View::WireSide)
            ))),
        el("div").class("halves").children(columns),
    ];
    if left_out > 0 {
        parts.push(el("p").class("rest").text(format!(
            "{left_out} more cavities: see {} in the record.",
            short(&plug.label, 20)
        )));
    }
    Some(parts)
}

/// The cavities that fit, and whether each has one line only: all of them, else all in one line, else those that hold
/// something in one line, as many as fit.
fn chosen<'a>(book: &Book, all: &[&'a Cavity], room_mm: f64) -> (Vec<&'a Cavity>, bool) {
    if column_mm(book, all, false) <= room_mm {
        return (all.to_vec(), false);
    }
    if column_mm(book, all, true) <= room_mm {
        return (all.to_vec(), true);
    }
    let mut held: Vec<&Cavity> = all
        .iter()
        .copied()
        .filter(|c| {
            !matches!(
                c.decision,
                Decision::Blank | Decision::Reserved | Decision::NotOurs
            )
        })
        .collect();
    // With a line for how many there are.
    while held.len() > 2 && column_mm(book, &held, true) > room_mm - LINE_MM {
        held.pop();
    }
    (held, true)
}

/// Height of the longer of two columns.
fn column_mm(book: &Book, cavities: &[&Cavity], one_line: bool) -> f64 {
    let half = cavities.len().div_ceil(2).max(1);
    let height = |some: &[&Cavity]| {
        some.iter()
            .map(|cavity| {
                let lines = if one_line {
                    1
                } else {
                    lines_of(&cavity.name, NAME).max(lines_of(&held(book, cavity), WIRE))
                };
                lines.max(1) as f64 * CLOSE_MM + ROW_MM
            })
            .sum::<f64>()
    };
    cavities.chunks(half).map(height).fold(0.0, f64::max)
}

/// What is in a cavity.
fn held(book: &Book, cavity: &Cavity) -> String {
    let ends = book.index().wires_at_cavity.get(&cavity.id);
    let wires: Vec<String> = ends
        .into_iter()
        .flatten()
        .filter_map(|(id, _)| book.get::<Wire>(*id))
        .map(|wire| {
            // What a builder named stays on its line with its colour.
            let colour = wire.colour.map(|c| format!("\u{a0}{c}")).unwrap_or_default();
            format!("{}{colour}", wire.label)
        })
        .collect();
    if wires.is_empty() {
        words::decision(book, cavity.decision)
    } else {
        wires.join(", ")
    }
}

fn hole(book: &Book, cavity: &Cavity, one_line: bool) -> Element {
    let fitted = |text: &str, letters| {
        if one_line {
            short(text, letters)
        } else {
            text.to_owned()
        }
    };
    el("tr")
        .attr("id", format!("cavity-{}", cavity.id))
        .child(el("th").attr("scope", "row").text(short(&cavity.number, 6)))
        .child(el("td").text(fitted(&cavity.name, NAME)))
        .child(el("td").text(fitted(&held(book, cavity), WIRE + 3)))
}
