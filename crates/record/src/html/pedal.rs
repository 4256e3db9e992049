//! What pedals and other sensors of travel ask for at each voltage, as far as settings and readings say.

use crimpbook_workbook::reckon::{named, pedal_curves};

use super::RecordInput;
use crate::{
    draw::pedal_shape,
    markup::{Element, el},
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let (mut drawn, mut missing) = (Vec::new(), Vec::new());
    for (at, curve) in pedal_curves(input.snapshot).iter().enumerate() {
        match pedal_shape(&format!("pedal-{at}"), curve) {
            Some(svg) => drawn.push(el("figure").child(svg)),
            None => missing.push(el("p").child(el("b").text(&curve.label)).text(format!(
                ": cannot draw demand over volts: missing {}.",
                curve.missing.join(", ")
            ))),
        }
    }
    if drawn.is_empty() && missing.is_empty() {
        return Vec::new();
    }
    let caution = named("pedal").map_or("", |calculator| calculator.caution);
    let mut all = vec![
        el("h3").text("Pedal shape: what each track asks for"),
        el("p").text(format!(
            "From readings where there are any, else from settings, else from the manual's limits. The shape is taken over what \
             the dead bands leave (common practice, no source): the unit's manual says how its own software does it. {caution}"
        )),
    ];
    if !drawn.is_empty() {
        all.push(el("div").class("plots").children(drawn));
    }
    all.extend(missing);
    // A grid may begin on one page and stand on the next, its heading left behind.
    vec![el("div").class("kept").children(all)]
}
