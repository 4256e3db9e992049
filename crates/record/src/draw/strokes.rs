//! Lines and words that all drawings share.

use super::paint::INK;
use crate::markup::{Element, el};

/// Width of the wide drawings in their own units; on A4 a unit is about a quarter of a millimetre.
pub(super) const WIDE: f64 = 760.0;
/// Grey of axes and less important words; 7:1 on white.
pub(super) const SOFT: &str = "#4c5258";

/// An empty drawing that a title and a sentence stand in for.
pub(super) fn drawing(id: &str, width: f64, height: f64, title: &str, told: &str) -> Element {
    el("svg")
        .attr("xmlns", "http://www.w3.org/2000/svg")
        .class("drawing")
        .attr("viewBox", format!("0 0 {width:.0} {height:.0}"))
        .attr("width", format!("{width:.0}"))
        .attr("height", format!("{height:.0}"))
        .attr("role", "img")
        .attr("aria-labelledby", format!("{id}-title {id}-desc"))
        .attr("font-family", "Arial, \"DejaVu Sans\", sans-serif")
        .child(el("title").attr("id", format!("{id}-title")).text(title))
        .child(el("desc").attr("id", format!("{id}-desc")).text(told))
}

/// A straight line.
pub(super) fn line((x1, y1): (f64, f64), (x2, y2): (f64, f64), width: f64) -> Element {
    el("line")
        .attr("x1", figure(x1))
        .attr("y1", figure(y1))
        .attr("x2", figure(x2))
        .attr("y2", figure(y2))
        .attr("stroke", INK)
        .attr("stroke-width", figure(width))
}

/// A rectangle; its inside is white.
pub(super) fn rect((x, y): (f64, f64), (width, height): (f64, f64), round: f64) -> Element {
    el("rect")
        .attr("x", figure(x))
        .attr("y", figure(y))
        .attr("width", figure(width))
        .attr("height", figure(height))
        .attr("rx", figure(round))
        .attr("stroke", INK)
}

/// Words that begin at a point.
pub(super) fn words((x, y): (f64, f64), size: f64, text: &str) -> Element {
    el("text")
        .attr("x", figure(x))
        .attr("y", figure(y))
        .attr("font-size", figure(size))
        .attr("fill", INK)
        .text(text)
}

/// Words about a point.
pub(super) fn words_about(at: (f64, f64), size: f64, text: &str) -> Element {
    words(at, size, text).attr("text-anchor", "middle")
}

/// Words that end at a point.
pub(super) fn words_to(at: (f64, f64), size: f64, text: &str) -> Element {
    words(at, size, text).attr("text-anchor", "end")
}

/// A figure with no more digits than a drawing needs.
pub(super) fn figure(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// As much of a text as fits a width in this size, by what letters are wide at most on average.
pub(super) fn fitted(text: &str, width: f64, size: f64) -> String {
    let room = (width / (size * 0.56)).max(1.0) as usize;
    if text.chars().count() <= room {
        return text.to_owned();
    }
    text.chars().take(room.saturating_sub(1)).chain(['…']).collect()
}

/// Words in as many lines of a width as are needed, `most` at most.
pub(super) fn wrapped(text: &str, width: f64, size: f64, most: usize) -> Vec<String> {
    let room = (width / (size * 0.56)).max(1.0) as usize;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(last) if last.chars().count() + 1 + word.chars().count() <= room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push_str(" …");
        }
    }
    lines.iter().map(|l| fitted(l, width, size)).collect()
}
