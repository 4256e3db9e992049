//! A solved network as SPICE lines, whatever it came from.

use std::collections::HashSet;

use crimpbook_core::network::{Circuit, Condition, Element, NodeId, Potential, Solution};

use super::{element, names::plain};

/// The lines from the first element to `.end`.
///
/// `node` names a node; `element` labels an element by its place in the circuit and says whether that label is its own
/// (else its place is added). What is open joins nothing and is not written; what floats is named as left out.
pub fn lines(
    circuit: &Circuit,
    solution: &Solution,
    node: impl Fn(NodeId) -> String,
    element: impl Fn(usize) -> (String, bool),
) -> Vec<String> {
    let (mut written, mut left_out) = (Vec::new(), Vec::new());
    let mut taken: HashSet<String> = HashSet::new();
    for (id, what) in circuit.numbered() {
        let at = id.index();
        let condition = solution.condition(id);
        if matches!(what, Element::Contact { .. }) && condition == Condition::Open {
            continue;
        }
        let (label, own) = element(at);
        let mut name = plain(&label);
        if !own || name.is_empty() || taken.contains(&name) {
            name = format!("{name}_n{at}");
        }
        if ends(what)
            .iter()
            .any(|end| solution.voltage(*end) == Potential::Floating)
        {
            left_out.push(name);
            continue;
        }
        written.push(element::line(&name, what, condition, &node));
        taken.insert(name);
    }
    let mut lines = Vec::new();
    if !left_out.is_empty() {
        lines.push("* Left out, since an end of it floats:".to_owned());
        lines.extend(left_out.chunks(8).map(|some| format!("*   {}", some.join(" "))));
    }
    lines.push(String::new());
    lines.extend(written);
    lines.push(String::new());
    lines.push(".options reltol=1e-9 vntol=1e-12 abstol=1e-12 gmin=1e-12".to_owned());
    lines.push(".op".to_owned());
    lines.push(".end".to_owned());
    lines
}

fn ends(element: &Element) -> Vec<NodeId> {
    let (one, other) = element.ends();
    match element {
        Element::Ratiometric { high, .. } => vec![one, other, *high],
        _ => vec![one, other],
    }
}
