//! One operating state as SPICE text, so that anyone can run the same network in a general circuit simulator.
//!
//! Names are the workbook's, as far as SPICE takes them: `MC-A5` is node `mc_a5`, on the unit's side of its contact, and
//! `mc_a5_w` on the wire's side. What a deck cannot prove is frozen in it and said in comments: where relays, switches and
//! outputs stand, on which side of their knees loads and limited sources are, and how warm the wires are.

mod element;
mod lines;
mod names;

use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    circuit::What,
};
pub use lines::lines;
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
    let (circuit, what) = see.network(of);
    let written = lines::lines(
        &circuit,
        of.operated.solution(),
        |node| names.at(node),
        |at| label_at(see, what.get(at).copied()),
    );
    let mut lines = head(see, of, &label);
    lines.extend(element::positions(see, of));
    // Texts of the workbook stand in comments only, and none may end its line.
    let mut lines: Vec<String> = lines.iter().map(|line| one_line(line)).collect();
    lines.extend(written);
    Ok(lines.join("\n") + "\n")
}

fn one_line(comment: &str) -> String {
    crate::text::shown(comment).replace(['\n', '\t'], " ")
}

fn head(see: &Snapshot, of: &StateResult, label: &str) -> Vec<String> {
    let about = see
        .book()
        .all::<crimpbook_workbook::model::About>()
        .values()
        .next();
    let vehicle = about.map_or("", |a| a.vehicle.as_str());
    vec![
        format!("* {vehicle}, state {label}, sources that follow the supply at {} V", of.supply_v),
        "* Node 0 is battery negative. MC-A5 is node mc_a5 on the unit's side of its contact, mc_a5_w on the wire's side.".to_owned(),
        "* Wires are frozen as warm as this state makes them. Diodes: Shockley's law, 1e-12 S beside it, 27 deg C.".to_owned(),
        "* Lamps: r = sqrt(cold^2 + (hot^2 - cold^2) * abs(v) / rated). Frozen as found: loads below their least volts, sources at a limit.".to_owned(),
        "* Expected to agree within 1 uV at every node (10 uV with a fault); parts that float are left out.".to_owned(),
    ]
}

/// What an element stands for, in the workbook's words; whether the label is its own.
fn label_at(see: &Snapshot, what: Option<What>) -> (String, bool) {
    let (book, wiring) = (see.book(), see.wiring());
    let own = |label: Option<String>| (label.unwrap_or_default(), true);
    match what {
        Some(What::Wire(at)) => own(wiring.wires.get(at).map(|run| book.label_of(run.wire))),
        Some(What::Contact(at)) => own(wiring
            .contacts
            .get(at)
            .map(|run| format!("contact {}", book.cavity_name(run.cavity)))),
        Some(What::Bridge(at)) => own(wiring
            .bridges
            .get(at)
            .map(|(cavity, ..)| format!("bridge {}", book.cavity_name(*cavity)))),
        Some(What::Path(_)) => ("chassis".to_owned(), false),
        Some(What::Pull(_)) => ("pull".to_owned(), false),
        Some(What::Part(at)) => own(wiring.parts.get(at).map(|run| book.label_of(run.part))),
        Some(What::Short) => own(Some("short".to_owned())),
        None => (String::new(), false),
    }
}

#[cfg(test)]
mod tests;
