//! The solver against a general circuit simulator, on the demonstration vehicle's own decks.

use std::{collections::HashMap, path::Path};

use crimpbook_record::{json, netlist::Names};
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    edit::Stamp,
    model::{Id, State},
};

/// Most a node may differ, V.
const AGREES_V: f64 = 1e-6;

fn demo() -> Snapshot {
    let mut book = Book::default();
    let stamp = Stamp {
        id: Id::from_bits(1),
        at: "2023-11-18T08:00:00Z".parse().expect("a moment"),
        who: "A.".to_owned(),
    };
    let vehicle = json::read(crimpbook_record::demo::VEHICLE).expect("it reads");
    for entry in vehicle.into_entries(stamp).expect("it is valid") {
        book.apply(&entry).expect("it applies");
    }
    Snapshot::of(&book)
}

/// What the simulator found at each node.
fn kept(state: &str) -> HashMap<String, f64> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("data/netlist/{state}.csv"));
    let text = std::fs::read_to_string(path).expect("the figures are there");
    assert!(text.starts_with("# ngspice-"), "the simulator and its version");
    let row = |line: &str| {
        let (node, volts) = line.split_once(',').expect("a row");
        (node.to_owned(), volts.parse().expect("volts"))
    };
    text.lines().skip(2).map(row).collect()
}

#[test]
fn every_held_node_agrees_within_a_microvolt() {
    let see = demo();
    let names = Names::of(&see);
    for label in ["DRIVE", "BRAKE"] {
        let id = see.book().index().labelled::<State>(label).expect("a state");
        let of = see.state(id).expect("it is solved");
        let kept = kept(label);
        let mut compared = 0;
        for (node, volts) in of.operated.solution().held() {
            let name = names.at(node);
            let Some(simulated) = kept.get(&name) else {
                continue;
            };
            compared += 1;
            let apart = (volts - simulated).abs();
            assert!(
                apart <= AGREES_V,
                "{label} {name}: {volts} V, simulated {simulated} V"
            );
        }
        assert!(compared > 250, "{label}: only {compared} nodes compared");
    }
}
