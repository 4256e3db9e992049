//! A pedal's track: demand over the volts at its input, with what lies outside of the fault limits.

use std::fmt::Write as _;

use crimpbook_core::reckon::{Pedal, demand};
use crimpbook_workbook::{check::words::number, reckon::PedalCurve};

use super::{
    paint::INK,
    strokes::{SOFT, drawing, figure, fitted, line, rect, words, words_about, words_to, wrapped},
};
use crate::markup::{Element, el};

const WIDTH: f64 = 360.0;
const LEFT: f64 = 54.0;
const RIGHT: f64 = 352.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 206.0;
/// Points of a curve.
const POINTS: u32 = 120;

/// The picture of a track; none: rest or full is not known. `id` is unique in the page.
pub fn pedal_shape(id: &str, curve: &PedalCurve) -> Option<Element> {
    let pedal = curve.pedal?;
    let scale = Scale::of(curve, &pedal);
    let (legend, height) = legend(curve, &pedal);
    let told = format!(
        "Demand in per cent over the volts at {}. {}",
        curve.label,
        said(curve, &pedal).join(" ")
    );
    let title = format!("{}: demand over volts", curve.label);
    let mut svg = drawing(id, WIDTH, height, &title, &told).child(
        words((LEFT, 15.0), 13.5, &fitted(&curve.label, RIGHT - LEFT, 13.5)).attr("font-weight", "bold"),
    );
    svg = svg.children(outside(curve, &scale)).children(grid(&scale));
    if curve.exponent.is_some() {
        let straight = |v: f64| demand(&pedal, v);
        svg = svg.child(
            trace(&scale, straight)
                .attr("stroke-dasharray", "2.5 3")
                .attr("stroke-width", 1.4),
        );
    }
    Some(
        svg.child(trace(&scale, |v| curve.demand(v)))
            // The travel itself, on the foot.
            .child(
                line(
                    (scale.x(pedal.rest_v), BOTTOM),
                    (scale.x(pedal.full_v), BOTTOM),
                    5.0,
                )
                .attr("stroke-linecap", "butt"),
            )
            .child(
                rect((LEFT, TOP), (RIGHT - LEFT, BOTTOM - TOP), 0.0)
                    .attr("fill", "none")
                    .attr("stroke-width", 1),
            )
            .children(legend),
    )
}

struct Scale {
    most_v: f64,
    step_v: f64,
}

impl Scale {
    fn of(curve: &PedalCurve, pedal: &Pedal) -> Self {
        let ends = [curve.supply_v, curve.window.high_v, Some(pedal.ends_v().1)];
        let most_v = ends.into_iter().flatten().fold(1.0, f64::max);
        // Steps that leave room for their words.
        let steps = [0.5, 1.0, 2.0, 5.0, 10.0];
        let step_v = steps
            .into_iter()
            .find(|step| most_v / step <= 8.0)
            .unwrap_or(20.0);
        Self { most_v, step_v }
    }

    fn x(&self, volts: f64) -> f64 {
        LEFT + (volts / self.most_v).clamp(0.0, 1.0) * (RIGHT - LEFT)
    }

    fn y(share: f64) -> f64 {
        BOTTOM - share.clamp(0.0, 1.0) * (BOTTOM - TOP)
    }
}

fn grid(scale: &Scale) -> Vec<Element> {
    let thin = |from, to| line(from, to, 0.6).attr("style", "stroke:#b9bec4");
    let mut all = Vec::new();
    for percent in [0, 25, 50, 75, 100] {
        let y = Scale::y(f64::from(percent) / 100.0);
        all.push(thin((LEFT, y), (RIGHT, y)));
        all.push(words_to((LEFT - 4.0, y + 4.0), 11.0, &format!("{percent} %")));
    }
    let mut volts = 0.0;
    while volts <= scale.most_v + 1e-9 {
        let x = scale.x(volts);
        all.push(thin((x, TOP), (x, BOTTOM)));
        all.push(words_about(
            (x.min(RIGHT - 4.0), BOTTOM + 16.0),
            11.0,
            &format!("{} V", number(volts)),
        ));
        volts += scale.step_v;
    }
    all
}

/// What the unit takes for a fault.
fn outside(curve: &PedalCurve, scale: &Scale) -> Vec<Element> {
    let grey = |from: f64, to: f64| {
        rect((from, TOP), (to - from, BOTTOM - TOP), 0.0)
            .attr("fill", "#d5dbe0")
            .attr("stroke-width", 0.8)
    };
    let low = curve.window.low_v.map(|v| grey(LEFT, scale.x(v)));
    let high = curve.window.high_v.map(|v| grey(scale.x(v), RIGHT));
    low.into_iter().chain(high).collect()
}

fn trace(scale: &Scale, at: impl Fn(f64) -> Option<f64>) -> Element {
    let mut path = String::new();
    for n in 0..=POINTS {
        let volts = scale.most_v * f64::from(n) / f64::from(POINTS);
        if let Some(share) = at(volts) {
            let letter = if path.is_empty() { 'M' } else { 'L' };
            let _ = write!(
                path,
                "{letter}{} {} ",
                figure(scale.x(volts)),
                figure(Scale::y(share))
            );
        }
    }
    el("path")
        .attr("d", path.trim_end())
        .attr("fill", "none")
        .attr("stroke", INK)
        .attr("stroke-width", 2.2)
}

/// What the picture says, in sentences.
fn said(curve: &PedalCurve, pedal: &Pedal) -> Vec<String> {
    let mut all = Vec::new();
    match curve.demand(pedal.rest_v) {
        None => all.push("The dead bands leave nothing between them: there is no demand at all.".to_owned()),
        Some(_) => all.push(format!(
            "Demand begins at {} V and is full from {} V.",
            number(pedal.starts_v()),
            number(pedal.ends_at_v())
        )),
    }
    if let Some(half) = curve
        .exponent
        .and_then(|_| curve.demand((pedal.starts_v() + pedal.ends_at_v()) / 2.0))
    {
        all.push(format!(
            "Half way between, demand is {} %.",
            number((half * 1000.0).round() / 10.0)
        ));
    }
    match (curve.window.low_v, curve.window.high_v) {
        (Some(low), Some(high)) => all.push(format!(
            "Below {} V and above {} V the unit takes it for broken.",
            number(low),
            number(high)
        )),
        (Some(low), None) => all.push(format!("Below {} V the unit takes it for broken.", number(low))),
        (None, Some(high)) => all.push(format!("Above {} V the unit takes it for broken.", number(high))),
        (None, None) => {}
    }
    all
}

/// What lines and figures are, beneath the plot, and how far down that reaches.
fn legend(curve: &PedalCurve, pedal: &Pedal) -> (Vec<Element>, f64) {
    let mut all = Vec::new();
    let mut y = BOTTOM + 38.0;
    let mut sample = |all: &mut Vec<Element>, dashes: &'static str, width: f64, text: &str| {
        let mark = line((12.0, y - 4.0), (46.0, y - 4.0), width);
        all.push(match dashes {
            "" => mark,
            dashes => mark.attr("stroke-dasharray", dashes),
        });
        all.push(words((LEFT, y), 11.5, &fitted(text, RIGHT - LEFT, 11.0)));
        y += 15.0;
    };
    match curve.exponent {
        Some(exponent) => {
            sample(
                &mut all,
                "",
                2.2,
                &format!("demand, shaped by exponent {}", number(exponent)),
            );
            sample(&mut all, "2.5 3", 1.4, "the same without shape");
        }
        None => sample(&mut all, "", 2.2, "demand"),
    }
    sample(&mut all, "", 5.0, "the pedal's travel, rest to full");
    if curve.window.low_v.or(curve.window.high_v).is_some() {
        all.push(
            rect((12.0, y - 9.0), (34.0, 10.0), 0.0)
                .attr("fill", "#d5dbe0")
                .attr("stroke-width", 0.8),
        );
        all.push(words((LEFT, y), 11.5, "outside of the fault limits"));
        y += 15.0;
    }
    let known = curve.known.iter();
    let from = known.map(|(what, value, from)| format!("{what} {value} ({from})"));
    let mut said = said(curve, pedal);
    said.push(format!("From: {}.", from.collect::<Vec<_>>().join("; ")));
    if !curve.missing.is_empty() {
        said.push(format!(
            "Drawn without, since nobody said: {}.",
            curve.missing.join(", ")
        ));
    }
    for told in said.iter().flat_map(|told| wrapped(told, RIGHT - 12.0, 10.6, 8)) {
        all.push(words((12.0, y), 11.0, &told).attr("fill", SOFT));
        y += 13.0;
    }
    (all, y)
}
