//! One operating state as SPICE text, so that anyone can run the same network in a general circuit simulator.
//!
//! Names are the workbook's, as far as SPICE takes them: `MC-A5` is node `mc_a5`, on the unit's side of its contact, and
//! `mc_a5_w` on the wire's side. What a deck cannot prove is frozen in it and said in comments: where relays, switches and
//! outputs stand, on which side of their knees loads and limited sources are, and how warm the wires are.

mod element;
mod names;

use crimpbook_core::network::{Condition, Element, NodeId, Potential};
use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    circuit::What,
};
pub use names::Names;

/// The deck of a computed state.
///
/// # Errors
/// A sentence where the state has no steady point to freeze.
pub fn write(see: &Snapshot, of: &StateResult) -> Result<String, String> {
    let book = see.book();
    let label = book.label_of(of.state);
    if let Some(trouble) = of.operated.trouble.first() {
        return Err(format!("{label} has no steady point: {}", trouble.words(book)));
    }
    let names = Names::of(see);
    let (mut elements, mut left_out) = (Vec::new(), Vec::new());
    let circuit = of.operated.circuit();
    let solution = of.operated.solution();
    for (id, element) in circuit.numbered() {
        let at = id.index();
        let what = of.operated.what().get(at).copied();
        let name = name(see, what, at, &elements);
        let condition = solution.condition(id);
        // What is open joins nothing; the positions above tell it.
        if matches!(element, Element::Contact { .. }) && condition == Condition::Open {
            continue;
        }
        let floats = |node: &NodeId| solution.voltage(*node) == Potential::Floating;
        if ends(element).iter().any(floats) {
            left_out.push(name);
            continue;
        }
        elements.push((name.clone(), element::line(&name, element, condition, &names)));
    }
    let mut lines = head(see, of, &label);
    lines.extend(element::positions(see, of));
    if !left_out.is_empty() {
        lines.push("* Left out, since an end of it floats:".to_owned());
        lines.extend(left_out.chunks(8).map(|some| format!("*   {}", some.join(" "))));
    }
    lines.push(String::new());
    lines.extend(elements.into_iter().map(|(_, line)| line));
    lines.push(String::new());
    lines.push(".options reltol=1e-9 vntol=1e-12 abstol=1e-12 gmin=1e-12".to_owned());
    lines.push(".op".to_owned());
    lines.push(".end".to_owned());
    Ok(lines.join("\n") + "\n")
}

fn head(see: &Snapshot, of: &StateResult, label: &str) -> Vec<String> {
    let about = see
        .book()
        .all::<crimpbook_workbook::model::About>()
        .values()
        .next();
    let vehicle: String = about
        .map(|a| a.vehicle.replace(char::is_control, " "))
        .unwrap_or_default();
    vec![
        format!("* {vehicle}, state {label}, sources that follow the supply at {} V", of.supply_v),
        "* Node 0 is battery negative. MC-A5 is node mc_a5 on the unit's side of its contact, mc_a5_w on the wire's side.".to_owned(),
        "* Wires are frozen as warm as this state makes them. Diodes: Shockley's law, 1e-12 S beside it, 27 deg C.".to_owned(),
        "* Lamps: r = sqrt(cold^2 + (hot^2 - cold^2) * abs(v) / rated). Frozen as found: loads below their least volts, sources at a limit.".to_owned(),
        "* Expected to agree within 1 uV at every node (10 uV with a fault); parts that float are left out.".to_owned(),
    ]
}

fn ends(element: &Element) -> Vec<NodeId> {
    let (one, other) = element.ends();
    match element {
        Element::Ratiometric { high, .. } => vec![one, other, *high],
        _ => vec![one, other],
    }
}

/// The element's name behind its SPICE letter, unique in the deck.
fn name(see: &Snapshot, what: Option<What>, at: usize, so_far: &[(String, String)]) -> String {
    let (book, wiring) = (see.book(), see.wiring());
    let label = match what {
        Some(What::Wire(at)) => wiring.wires.get(at).map(|run| book.label_of(run.wire)),
        Some(What::Contact(at)) => wiring
            .contacts
            .get(at)
            .map(|run| format!("contact {}", book.cavity_name(run.cavity))),
        Some(What::Bridge(at)) => wiring
            .bridges
            .get(at)
            .map(|(cavity, ..)| format!("bridge {}", book.cavity_name(*cavity))),
        Some(What::Path(_)) => Some("chassis".to_owned()),
        Some(What::Pull(_)) => Some("pull".to_owned()),
        Some(What::Part(at)) => wiring.parts.get(at).map(|run| book.label_of(run.part)),
        Some(What::Short) => Some("short".to_owned()),
        None => None,
    };
    let label = names::plain(&label.unwrap_or_default());
    let taken = so_far.iter().any(|(name, _)| *name == label);
    let bare = matches!(what, Some(What::Path(_) | What::Pull(_)));
    if taken || bare || label.is_empty() {
        // Its own number in the network.
        return format!("{label}_n{at}");
    }
    label
}

#[cfg(test)]
mod tests;
