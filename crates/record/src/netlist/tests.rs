//! Decks of the demonstration vehicle.

use super::{names::plain, write};
use crate::sample;
use crimpbook_workbook::analysis::Snapshot;

#[test]
fn names_are_the_workbooks_as_far_as_spice_takes_them() {
    let named: Vec<String> = ["MC-A5", "AB+", "AB-", "MAIN+ coil", "K1 rail", "MC-A5 w"]
        .map(plain)
        .into();
    assert_eq!(
        named,
        [
            "mc_a5",
            "ab_plus",
            "ab_minus",
            "main_plus_coil",
            "k1_rail",
            "mc_a5_w"
        ]
    );
}

#[test]
fn every_element_of_a_state_is_in_its_deck_or_named_as_left_out() {
    let see = Snapshot::of(&sample::book());
    for of in see.states() {
        let deck = write(&see, of).unwrap();
        assert!(!deck.contains("NOT WRITTEN"), "{deck}");
        assert!(deck.ends_with(".op\n.end\n"));
        let book = see.book();
        for run in &see.wiring().wires {
            assert!(deck.contains(&plain(&book.label_of(run.wire))), "{deck}");
        }
        // A name given twice would be two elements to a simulator and one to a reader.
        let first = |line: &str| line.split(' ').next().map(str::to_owned);
        let mut names: Vec<String> = deck
            .lines()
            .filter(|l| !l.starts_with(['*', '.']))
            .filter_map(first)
            .filter(|n| !n.is_empty())
            .collect();
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), all, "{deck}");
    }
    assert!(!see.states().is_empty());
}
