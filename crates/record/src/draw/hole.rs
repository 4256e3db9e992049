//! One cavity of a face: number, what is in it, and words for that.

use crimpbook_workbook::{
    Book,
    model::{Cavity, Decision, Wire, WireColour},
};

use super::paint::{INK, paint};
use crate::markup::{Element, el};

/// Radius of what lies in a hole.
const R: f64 = 12.0;

/// What lies in a hole. Each has its own shape: discs are wires, blocks are holes without one.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Fill {
    /// Wires; none: decided but not there yet.
    Wires(Vec<Option<WireColour>>),
    /// A link to another cavity.
    Bridge(String),
    /// A sealing plug.
    Plug,
    /// Empty on purpose, and no plug is listed although the connector is sealed.
    Bare,
    /// Kept for later.
    Later,
    /// Another's.
    NotOurs,
    /// Nobody has decided.
    Undecided,
    /// The face has a cavity that the workbook does not.
    Unknown,
}

impl Fill {
    /// What lies in this cavity.
    pub(super) fn of(book: &Book, cavity: &Cavity) -> Self {
        let ends = book.index().wires_at_cavity.get(&cavity.id);
        let wires = ends.into_iter().flatten();
        let colours: Vec<Option<WireColour>> = wires
            .filter_map(|(id, _)| book.get::<Wire>(*id))
            .map(|w| w.colour)
            .collect();
        let sealed = book.get(cavity.connector).is_some_and(|c| c.sealed == Some(true));
        match cavity.decision {
            _ if !colours.is_empty() => Self::Wires(colours),
            Decision::Wired => Self::Wires(Vec::new()),
            Decision::Bridged { to } => {
                Self::Bridge(book.get(to).map_or_else(|| "?".to_owned(), |c| c.number.clone()))
            }
            Decision::Blank if sealed && !cavity.plug => Self::Bare,
            Decision::Blank => Self::Plug,
            Decision::Reserved => Self::Later,
            Decision::NotOurs => Self::NotOurs,
            Decision::Undecided => Self::Undecided,
        }
    }

    /// The line under the shape.
    fn label(&self) -> String {
        match self {
            Self::Wires(colours) => match colours.as_slice() {
                [] => "no wire".to_owned(),
                [Some(colour)] => colour.to_string(),
                [None] => "wire".to_owned(),
                more => format!("{} wires", more.len()),
            },
            Self::Bridge(to) => format!("to {}", short(to)),
            Self::Plug => "plug".to_owned(),
            Self::Bare => "no plug".to_owned(),
            Self::Later => "later".to_owned(),
            Self::NotOurs => "not ours".to_owned(),
            Self::Undecided => "open?".to_owned(),
            Self::Unknown => "unknown".to_owned(),
        }
    }

    /// What the shape means, for the legend.
    pub(super) fn meaning(&self) -> &'static str {
        match self {
            Self::Wires(colours) if colours.is_empty() => "to be wired, no wire placed yet",
            Self::Wires(colours) if colours.len() > 1 => "several wires",
            Self::Wires(_) => "wire in its colour, stripe: tracer",
            Self::Bridge(_) => "bridged to the cavity named",
            Self::Plug => "left empty on purpose: plug",
            Self::Bare => "left empty on purpose, no plug listed",
            Self::Later => "kept for later",
            Self::NotOurs => "not ours",
            Self::Undecided => "undecided",
            Self::Unknown => "on the face, not in the workbook",
        }
    }

    /// Place in the legend.
    pub(super) fn rank(&self) -> u8 {
        match self {
            Self::Wires(colours) => match colours.len() {
                1 => 0,
                0 => 2,
                _ => 1,
            },
            Self::Bridge(_) => 3,
            Self::Plug => 4,
            Self::Bare => 5,
            Self::Later => 6,
            Self::NotOurs => 7,
            Self::Undecided => 8,
            Self::Unknown => 9,
        }
    }

    /// The shape about its own centre.
    pub(super) fn shape(&self) -> Element {
        let group = el("g");
        match self {
            Self::Wires(colours) => match colours.as_slice() {
                [] => group.child(ring(R).attr("stroke-dasharray", "3 2.5")),
                [one] => group.child(insulation(*one, R)),
                [first, second, ..] => group
                    .child(moved(insulation(*first, 7.5), -6.5, 0.0))
                    .child(moved(insulation(*second, 7.5), 6.5, 0.0)),
            },
            Self::Bridge(_) => group
                .child(line(-6.0, 0.0, 6.0, 0.0, 3.0))
                .child(moved(ring(4.0), -8.0, 0.0))
                .child(moved(ring(4.0), 8.0, 0.0)),
            Self::Plug => group
                .child(block("#55585c"))
                .child(disc(6.0, "#a9adb2").attr("stroke", INK).attr("stroke-width", 1)),
            Self::Bare => group.child(block("#ffffff")),
            Self::Later => group.child(block("#ffffff")).child(disc(3.5, INK)),
            Self::NotOurs => group
                .child(block("#ffffff"))
                .child(line(-10.0, -3.0, 3.0, 10.0, 1.3))
                .child(line(-10.0, -10.0, 10.0, 10.0, 1.3))
                .child(line(-3.0, -10.0, 10.0, 3.0, 1.3)),
            Self::Undecided => group
                .child(
                    el("path")
                        .attr("d", "M0 -13 L13 0 L0 13 L-13 0 Z")
                        .attr("fill", "#ffffff")
                        .attr("stroke", INK)
                        .attr("stroke-width", 2),
                )
                .child(words("?", 5.5, 15).attr("font-weight", "bold")),
            Self::Unknown => group.child(ring(R).attr("stroke-dasharray", "1 3")),
        }
    }

    /// The whole hole about its centre: outline, number, shape, line of words.
    pub(super) fn hole(&self, number: &str, big: bool) -> Element {
        let half = if big { 31.0 } else { 28.0 };
        el("g")
            .child(
                el("rect")
                    .attr("x", -half)
                    .attr("y", -half)
                    .attr("width", 2.0 * half)
                    .attr("height", 2.0 * half)
                    .attr("rx", 7)
                    .attr("fill", "#ffffff")
                    .attr("stroke", INK)
                    .attr("stroke-width", if big { 2.4 } else { 1.2 }),
            )
            .child(words(&short(number), -14.0, 13).attr("font-weight", "bold"))
            .child(moved(self.shape(), 0.0, 1.5))
            .child(words(&self.label(), 24.5, 11))
    }
}

fn short(number: &str) -> String {
    if number.chars().count() <= 6 {
        number.to_owned()
    } else {
        number.chars().take(5).chain(['…']).collect()
    }
}

/// A wire's cross-section: its base colour with the tracer as a stripe.
fn insulation(colour: Option<WireColour>, r: f64) -> Element {
    let Some(colour) = colour else {
        return el("g")
            .child(ring(r))
            .child(line(-r * 0.5, 0.0, r * 0.5, 0.0, 2.0));
    };
    let stripe = colour.tracer.map(|tracer| {
        let reach = r * 0.66;
        line(-reach, reach, reach, -reach, r * 0.5).attr("style", format!("stroke:{}", paint(tracer)))
    });
    el("g")
        .child(disc(r, paint(colour.base)))
        .children(stripe)
        .child(ring(r).attr("fill-opacity", 0))
}

/// What is no wire is no disc.
fn block(fill: &'static str) -> Element {
    el("rect")
        .attr("x", -10.5)
        .attr("y", -10.5)
        .attr("width", 21)
        .attr("height", 21)
        .attr("rx", 3)
        .attr("fill", fill)
        .attr("stroke", INK)
        .attr("stroke-width", 1.4)
}

fn disc(r: f64, fill: &'static str) -> Element {
    el("circle").attr("r", r).attr("fill", fill)
}

fn ring(r: f64) -> Element {
    disc(r, "#ffffff").attr("stroke", INK).attr("stroke-width", 1.4)
}

fn line(x1: f64, y1: f64, x2: f64, y2: f64, width: f64) -> Element {
    el("line")
        .attr("x1", x1)
        .attr("y1", y1)
        .attr("x2", x2)
        .attr("y2", y2)
        .attr("stroke", INK)
        .attr("stroke-width", width)
}

pub(super) fn moved(element: Element, x: f64, y: f64) -> Element {
    el("g")
        .attr("transform", format!("translate({x:.1} {y:.1})"))
        .child(element)
}

pub(super) fn words(text: &str, y: f64, size: u32) -> Element {
    el("text")
        .attr("y", y)
        .attr("font-size", size)
        .attr("text-anchor", "middle")
        .attr("fill", INK)
        .text(text)
}
