//! Decks and the figures that a simulator found in them.

use std::{cmp::Ordering, collections::HashMap, path::PathBuf};

use crimpbook_record::json;
use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, StateResult},
    edit::Stamp,
    model::{Id, State},
};

/// Most a node may differ without a fault, V.
pub const HEALTHY_V: f64 = 1e-6;
/// Most a node may differ with a fault, V.
pub const FAULT_V: f64 = 10e-6;

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("data/netlist")
        .join(name)
}

/// Writes the deck where that is asked for; whether it was.
pub fn wrote(name: &str, deck: &str) -> bool {
    wrote_beside(&format!("{name}.cir"), deck)
}

/// Writes a file among the decks where that is asked for; whether it was.
pub fn wrote_beside(file: &str, text: &str) -> bool {
    let asked = std::env::var_os("CRIMPBOOK_WRITE_DECKS").is_some();
    if asked {
        std::fs::write(path(file), text).expect("it can be written");
    }
    asked
}

/// What the simulator found at each node of a deck.
pub fn kept(name: &str) -> HashMap<String, f64> {
    let text = std::fs::read_to_string(path(&format!("{name}.csv"))).expect("the figures are there");
    assert!(text.starts_with("# ngspice-"), "the simulator and its version");
    let row = |line: &str| {
        let (node, volts) = line.split_once(',').expect("a row");
        (node.to_owned(), volts.parse().expect("volts"))
    };
    text.lines().skip(2).map(row).collect()
}

/// Holds every node of ours that the simulator knows against what it found; so many must be known.
pub fn agree(name: &str, ours: impl Iterator<Item = (String, f64)>, within_v: f64, at_least: usize) {
    let kept = kept(name);
    let (mut compared, mut apart) = (0, Vec::new());
    for (node, volts) in ours {
        let Some(simulated) = kept.get(&node) else {
            continue;
        };
        compared += 1;
        // NaN agrees with nothing.
        if !matches!(
            (volts - simulated).abs().partial_cmp(&within_v),
            Some(Ordering::Less | Ordering::Equal)
        ) {
            apart.push(format!("{node}: {volts} V, simulated {simulated} V"));
        }
    }
    assert_eq!(apart, Vec::<String>::new(), "{name}");
    assert!(compared >= at_least, "{name}: only {compared} nodes compared");
}

/// The demonstration vehicle as it was made.
pub fn vehicle() -> Snapshot {
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

/// One of its states.
pub fn state<'a>(see: &'a Snapshot, label: &str) -> &'a StateResult {
    let id = see.book().index().labelled::<State>(label).expect("a state");
    see.state(id).expect("it is solved")
}
