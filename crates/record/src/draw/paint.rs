//! Colours on paper. The letters always stand beside them: no meaning hangs on a colour alone.

use crimpbook_workbook::model::{Colour, WireColour};

use crate::markup::{Element, el};

/// Ink of outlines and text.
pub const INK: &str = "#1d1d1b";

/// How a colour is drawn on light paper.
pub fn paint(colour: Colour) -> &'static str {
    match colour {
        Colour::Black => "#2a2a2a",
        Colour::Brown => "#7d4a24",
        Colour::Red => "#cf2a27",
        Colour::Orange => "#f0821e",
        Colour::Yellow => "#f6d32d",
        Colour::Green => "#2f8f3e",
        Colour::Blue => "#2563b8",
        Colour::Violet => "#7b3fa0",
        Colour::Grey => "#8d9196",
        Colour::White => "#ffffff",
        Colour::Pink => "#f3a6bf",
        Colour::Gold => "#c9a227",
        Colour::Turquoise => "#35b8ad",
        Colour::Silver => "#c9cdd2",
    }
}

/// A piece of wire, to stand before its letters.
pub fn swatch(colour: WireColour) -> Element {
    let bar = |y: f64, height: f64, fill: &'static str| {
        el("rect")
            .attr("x", 1)
            .attr("y", y)
            .attr("width", 26)
            .attr("height", height)
            .attr("fill", fill)
    };
    el("svg")
        .attr("xmlns", "http://www.w3.org/2000/svg")
        .class("swatch")
        .attr("viewBox", "0 0 28 12")
        .attr("width", 28)
        .attr("height", 12)
        .attr("aria-hidden", "true")
        .child(bar(1.0, 10.0, paint(colour.base)))
        .children(colour.tracer.map(|tracer| bar(4.25, 3.5, paint(tracer))))
        .child(bar(1.0, 10.0, "none").attr("stroke", INK).attr("stroke-width", 1))
}
