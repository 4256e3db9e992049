//! A connector's face from one side: plastic, holes, numbers, the moulded mark, wires in their colours.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    model::{Connector, View, face::Cell},
};

use super::{
    hole::{Fill, moved},
    paint::INK,
};
use crate::markup::{Element, el};

/// Centre to centre of neighbouring cavities of a row.
const PITCH: f64 = 66.0;
/// Holes do not come closer than this, centre to centre, in at least one direction.
const CLEAR: f64 = 62.0;
/// Plastic around the outermost centres.
const EDGE: f64 = 48.0;
/// The same where the shell is round.
const ROUND_EDGE: f64 = 62.0;

/// Which side is looked at, so that nobody can take one for the other.
pub fn side_words(view: View) -> &'static str {
    match view {
        View::MatingSide => "seen from the mating side (where the other half plugs in)",
        View::WireSide => "seen from the wire side (where the wires go in)",
    }
}

/// The face of a connector seen from `view`.
pub fn face(book: &Book, connector: &Connector, view: View) -> Element {
    let face = book.face_of(connector.id);
    let cells = face.cells(view);
    let frame = Frame::around(&cells, face.round);
    let (width, height) = (frame.width, frame.height);
    let fills = fills(book, connector, &cells);
    let title = format!("{}, {}", connector.label, side_words(view));
    let mark = cells
        .iter()
        .filter(|c| {
            face.mark
                .as_ref()
                .is_some_and(|m| m.eq_ignore_ascii_case(&c.number))
        })
        .map(|c| mark(frame.place(c), &frame));
    let holes = cells.iter().zip(&fills).map(|(cell, fill)| {
        let (x, y) = frame.place(cell);
        moved(fill.hole(&cell.number, cell.big), x, y)
    });
    let id = format!(
        "face-{}-{}",
        connector.id,
        if view == View::WireSide { "wire" } else { "mating" }
    );
    el("svg")
        .attr("xmlns", "http://www.w3.org/2000/svg")
        .class("face")
        .attr("viewBox", format!("0 0 {width:.0} {height:.0}"))
        .attr("width", format!("{width:.0}"))
        .attr("height", format!("{height:.0}"))
        .attr("role", "img")
        .attr("aria-labelledby", format!("{id}-title {id}-desc"))
        .attr("font-family", "Arial, \"DejaVu Sans\", sans-serif")
        .child(el("title").attr("id", format!("{id}-title")).text(title))
        .child(
            el("desc")
                .attr("id", format!("{id}-desc"))
                .text(described(&fills)),
        )
        .child(shell(width, height, face.round))
        .children(mark)
        .children(holes)
}

/// The shapes that stand on this connector's face, with their meaning.
pub fn legend(book: &Book, connector: &Connector) -> Vec<(Element, &'static str)> {
    let cells = book.face_of(connector.id).cells(View::MatingSide);
    let mut once: BTreeMap<(u8, &'static str), Element> = BTreeMap::new();
    for fill in fills(book, connector, &cells) {
        once.entry((fill.rank(), fill.meaning())).or_insert_with(|| {
            el("svg")
                .attr("xmlns", "http://www.w3.org/2000/svg")
                .class("key")
                .attr("viewBox", "-15 -15 30 30")
                .attr("width", 22)
                .attr("height", 22)
                .attr("aria-hidden", "true")
                .child(fill.shape())
        });
    }
    once.into_iter()
        .map(|((_, meaning), shape)| (shape, meaning))
        .collect()
}

fn fills(book: &Book, connector: &Connector, cells: &[Cell]) -> Vec<Fill> {
    let cavities = book.cavities_of(connector.id);
    let of = |cell: &Cell| {
        cavities
            .iter()
            .find(|c| c.number.eq_ignore_ascii_case(&cell.number))
            .map_or(Fill::Unknown, |c| Fill::of(book, c))
    };
    cells.iter().map(of).collect()
}

fn described(fills: &[Fill]) -> String {
    let mut counts: BTreeMap<(u8, &str), usize> = BTreeMap::new();
    for fill in fills {
        *counts.entry((fill.rank(), fill.meaning())).or_default() += 1;
    }
    let counts: Vec<String> = counts
        .iter()
        .map(|((_, meaning), n)| format!("{n} × {meaning}"))
        .collect();
    format!(
        "{} cavities: {}. The table below says what is in each.",
        fills.len(),
        counts.join("; ")
    )
}

fn shell(width: f64, height: f64, round: bool) -> Element {
    let plastic = |element: Element| {
        element
            .attr("fill", "#e9ebed")
            .attr("stroke", INK)
            .attr("stroke-width", 3)
    };
    if round {
        plastic(
            el("ellipse")
                .attr("cx", width / 2.0)
                .attr("cy", height / 2.0)
                .attr("rx", width / 2.0 - 2.0)
                .attr("ry", height / 2.0 - 2.0),
        )
    } else {
        plastic(
            el("rect")
                .attr("x", 2)
                .attr("y", 2)
                .attr("width", width - 4.0)
                .attr("height", height - 4.0)
                .attr("rx", 14),
        )
    }
}

/// The moulded mark on the plastic beside its cavity: a bar towards the nearer edge, or a dot outwards on a round shell.
fn mark((x, y): (f64, f64), frame: &Frame) -> Element {
    let (from_x, from_y) = (x - frame.width / 2.0, y - frame.height / 2.0);
    let longest = from_x.abs().max(from_y.abs());
    if frame.round && longest > 1.0 {
        let out = 38.0 / longest;
        return el("circle")
            .attr("cx", format!("{:.1}", x + from_x * out))
            .attr("cy", format!("{:.1}", y + from_y * out))
            .attr("r", 6)
            .attr("fill", INK);
    }
    let beside = if from_x <= 0.0 { x - 39.0 } else { x + 33.0 };
    el("rect")
        .attr("x", format!("{beside:.1}"))
        .attr("y", format!("{:.1}", y - 16.0))
        .attr("width", 6)
        .attr("height", 32)
        .attr("fill", INK)
}

/// Where pitches lie on the drawing.
struct Frame {
    pitch: f64,
    edge: f64,
    width: f64,
    height: f64,
    round: bool,
}

impl Frame {
    fn around(cells: &[Cell], round: bool) -> Self {
        let closest = cells
            .iter()
            .enumerate()
            .flat_map(|(at, a)| cells.iter().skip(at + 1).map(move |b| (a, b)))
            .map(|(a, b)| (a.x_pitch - b.x_pitch).abs().max((a.y_pitch - b.y_pitch).abs()))
            .fold(1.0, f64::min);
        let pitch = PITCH.max(CLEAR / closest.max(0.25));
        let edge = if round { ROUND_EDGE } else { EDGE };
        let across = |of: fn(&Cell) -> f64| cells.iter().map(of).fold(0.0, f64::max) * pitch + 2.0 * edge;
        Self {
            pitch,
            edge,
            width: across(|c| c.x_pitch),
            height: across(|c| c.y_pitch),
            round,
        }
    }

    fn place(&self, cell: &Cell) -> (f64, f64) {
        (
            self.edge + cell.x_pitch * self.pitch,
            self.edge + cell.y_pitch * self.pitch,
        )
    }
}
