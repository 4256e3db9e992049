//! The demonstration vehicle as written by hand from its plan. Only the wires' temperatures are the program's, frozen.

use std::fmt::Write as _;

use crimpbook_core::network::Element;
use crimpbook_record::netlist::Names;
use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    circuit::What,
};

use super::kept::{HEALTHY_V, agree, state, vehicle, wrote_beside};

/// Nearly every cavity and junction of the vehicle is in the hand-written decks.
const AT_LEAST: usize = 295;

/// The temperatures that the wires had when the state was solved, as parameters.
fn temperatures(see: &Snapshot, of: &StateResult, label: &str) -> String {
    let mut lines = vec![String::new(); see.wiring().wires.len()];
    let (circuit, what) = see.network(of);
    for ((_, element), what) in circuit.numbered().zip(&what) {
        let (What::Wire(at), Element::Resistance { ohms, .. }) = (*what, *element) else {
            continue;
        };
        let run = &see.wiring().wires[at];
        let beside_ohm = run.joints_ohm + run.fuse.map_or(0.0, |(_, ohm)| ohm);
        let factor = (ohms - beside_ohm) / run.conductor_ohm.expect("size and length are known");
        let name = see.book().label_of(run.wire).to_lowercase();
        lines[at] = format!(".param t{name}={}", 254.5 * factor - 234.5);
    }
    lines.sort();
    let mut text = String::new();
    let _ = writeln!(
        text,
        "* Degrees Celsius of each wire in {label}, frozen as the program solved it."
    );
    lines.iter().for_each(|line| {
        let _ = writeln!(text, "{line}");
    });
    text
}

#[test]
fn the_derivation_agrees_with_what_was_written_by_hand_within_a_microvolt() {
    let see = vehicle();
    let names = Names::of(&see);
    for label in ["DRIVE", "BRAKE"] {
        let of = state(&see, label);
        let name = format!("by-hand/{label}");
        if wrote_beside(&format!("{name}.temperatures"), &temperatures(&see, of, label)) {
            continue;
        }
        let ours = of
            .operated
            .solution()
            .held()
            .map(|(node, volts)| (names.at(node), volts));
        agree(&name, ours, HEALTHY_V, AT_LEAST);
    }
}
