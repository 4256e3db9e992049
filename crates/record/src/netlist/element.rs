//! One element as a line, and the positions a deck takes as given.

use crimpbook_core::network::{Condition, Element, NodeId, REVERSE_OHMS};
use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    circuit::Stand,
    model::{PartKind, PartPosition},
};

/// Thermal voltage at 27 °C, V: k·300.15 K / q of the 2019 SI.
const THERMAL_V: f64 = 1.380_649e-23 * 300.15 / 1.602_176_634e-19;

/// An element's line or lines.
pub(super) fn line(
    name: &str,
    element: &Element,
    condition: Condition,
    node: impl Fn(NodeId) -> String,
) -> String {
    let (one, other) = element.ends();
    let (a, b) = (node(one), node(other));
    // Which side of a knee an element is on is frozen as a relay is: simulators hunt at such corners.
    match *element {
        Element::Resistance { ohms, .. } | Element::Coil { ohms, .. } | Element::Contact { ohms, .. } => {
            format!("R{name} {a} {b} {ohms:e}")
        }
        // The solver counts a source from minus to plus.
        Element::Source { emf_v, ohms, .. } => {
            format!("V{name} {name}_emf {a} {emf_v:e}\nR{name} {name}_emf {b} {ohms:e}")
        }
        Element::LimitedSource {
            emf_v, ohms, limit_a, ..
        } => match condition {
            Condition::Limited => format!("* at its limit:\nI{name} {a} {b} {limit_a:e}"),
            Condition::Blocked => format!(
                "* held above its own volts:\nV{name} {name}_emf {a} {emf_v:e}\nR{name} {name}_emf {b} {REVERSE_OHMS:e}"
            ),
            _ => format!("V{name} {name}_emf {a} {emf_v:e}\nR{name} {name}_emf {b} {ohms:e}"),
        },
        Element::Emf { emf_v, .. } => format!("V{name} {b} {a} {emf_v:e}"),
        Element::Current { current_a, .. } => format!("I{name} {a} {b} {current_a:e}"),
        Element::CurrentLoad {
            current_a, least_v, ..
        } => match condition {
            Condition::Starved => format!(
                "* below its least volts:\nR{name} {a} {b} {:e}",
                least_v / current_a
            ),
            _ => format!("I{name} {a} {b} {current_a:e}"),
        },
        Element::PowerLoad { power_w, least_v, .. } => {
            let ohms = least_v * least_v / power_w;
            match condition {
                Condition::Starved | Condition::Collapsed => {
                    format!("* dropped out:\nR{name} {a} {b} {ohms:e}")
                }
                _ => format!("B{name} {a} {b} i={power_w:e}/max(v({a},{b}),{least_v:e})"),
            }
        }
        Element::Lamp {
            cold_ohms,
            hot_ohms,
            rated_v,
            ..
        } => {
            let cold = cold_ohms * cold_ohms;
            let growth = (hot_ohms * hot_ohms - cold) / rated_v;
            format!("B{name} {a} {b} i=v({a},{b})/sqrt({cold:e}+{growth:e}*abs(v({a},{b})))")
        }
        Element::Diode {
            saturation_a,
            slope_v,
            ..
        } => format!(
            "D{name} {a} {b} d_{name}\n.model d_{name} d(is={saturation_a:e} n={:e} tnom=27)",
            slope_v / THERMAL_V
        ),
        Element::Ratiometric {
            low,
            high,
            out,
            share,
            ohms,
        } => {
            let (low, high, out) = (node(low), node(high), node(out));
            format!("E{name} {name}_own {low} {high} {low} {share:e}\nR{name} {name}_own {out} {ohms:e}")
        }
        // An element the writer does not know yet would be a silent gap.
        _ => format!("* NOT WRITTEN: {name}, the deck is not complete"),
    }
}

/// Comments on what the state has standing how.
pub(super) fn positions(see: &Snapshot, of: &StateResult) -> Vec<String> {
    let book = see.book();
    let mut lines = vec!["* Positions, given and not proven here:".to_owned()];
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = book.get(run.part) else { continue };
        let kind = match part.kind {
            PartKind::Coil { .. } => "coil",
            PartKind::Contact { .. } => "contact",
            PartKind::Output { .. } => "output",
            PartKind::Source { switched: true, .. } => "source",
            _ => continue,
        };
        let stand = match of.stands.get(run.part) {
            Stand::Given(PartPosition::On) => "on".to_owned(),
            Stand::Given(PartPosition::Off) => "off".to_owned(),
            Stand::Given(PartPosition::Starting) => "starting".to_owned(),
            Stand::Given(PartPosition::Travel(share)) => format!("at {share}"),
            Stand::Unknown => "not told, taken as off".to_owned(),
            Stand::Follows(_) => match of.operated.condition(at) {
                Some(Condition::PulledIn) => "pulled in by its own voltage".to_owned(),
                Some(Condition::DroppedOut) => "released by its own voltage".to_owned(),
                Some(Condition::Open) | None => "open, as its coil is".to_owned(),
                Some(_) => "closed, as its coil is".to_owned(),
            },
        };
        lines.push(format!("*   {kind} {}: {stand}", part.label));
    }
    lines
}
