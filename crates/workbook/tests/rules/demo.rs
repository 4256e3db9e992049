//! What is known of the demo's rules by reasoning, and what solving each case apart says.

use std::{path::Path, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{End, Rule, Tables, Wire},
    rules::{Broken, Class, Proof, RuleProof, Verdict},
};

use crate::apart::{self, Apart, Combination};

pub fn tables() -> Tables {
    apart::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/marrowby-pipit.json"))
}

fn proof(tables: &Tables) -> (Snapshot, Arc<Proof>) {
    let see = Snapshot::new(Arc::new(Book::from_tables(tables.clone(), None)));
    let proof = Arc::clone(see.proof());
    (see, proof)
}

fn rule<'p>(see: &Snapshot, proof: &'p Proof, label: &str) -> &'p RuleProof {
    let id = see.book().index().labelled::<Rule>(label).unwrap();
    proof.of_rule(id).unwrap()
}

fn words<'p>(proof: &'p Proof, broken: &[Broken]) -> Vec<&'p str> {
    broken
        .iter()
        .map(|b| proof.faults[b.fault].words.as_str())
        .collect()
}

pub fn live(see: &Snapshot) -> End {
    let book = see.book();
    book.get(book.index().labelled::<Wire>("W01").unwrap())
        .unwrap()
        .to
}

fn combination(see: &Snapshot, broken: &Broken) -> Combination {
    let positions = broken.example.positions.iter();
    positions
        .map(|(switch, at)| (see.book().label_of(*switch), at.clone()))
        .collect()
}

/// As far as the demo's own page says by reasoning; the classes in full are what this machine found.
#[test]
fn what_is_known_by_reasoning_is_found() {
    let tables = tables();
    let (see, proof) = proof(&tables);
    let named = |label: &str, class: Class| words(&proof, rule(&see, &proof, label).broken_by(class));
    for label in ["I1", "I2", "I3", "I4", "I6", "I7", "I8", "I9", "I11", "I12"] {
        let Verdict::Proven { without_fault, .. } = &rule(&see, &proof, label).verdict else {
            panic!("{label} is not proven");
        };
        assert_eq!(*without_fault, None, "{label} holds without a fault");
    }
    assert_eq!(proof.combinations, 16_384);
    let has = |label: &str, class: Class, expected: &[&str]| {
        let found = named(label, class);
        for one in expected {
            assert!(
                found.contains(one),
                "{label} {}: {one} in {found:?}",
                class.words()
            );
        }
    };
    has(
        "I1",
        Class::Open,
        &["W54 off", "W27 off", "ground from G3 to G2 lost"],
    );
    has("I1", Class::Supply, &["W54 touching supply"]);
    assert_eq!(named("I1", Class::Chassis), [""; 0]);
    let w54 = rule(&see, &proof, "I1").broken_by(Class::Open);
    let w54 = w54
        .iter()
        .find(|b| proof.faults[b.fault].words == "W54 off")
        .unwrap();
    let at = combination(&see, w54);
    assert_eq!(at["charge_lead"], "in");
    assert_eq!(at["key"], "run");
    assert_eq!(w54.example.shows, ["MC.ready"]);
    let chain: Vec<String> = (12..=18).map(|n| format!("W{n} touching supply")).collect();
    has(
        "I2",
        Class::Supply,
        &chain.iter().map(String::as_str).collect::<Vec<_>>(),
    );
    for label in ["I2", "I3"] {
        assert_eq!(named(label, Class::Open), [""; 0], "{label}: every open is safe");
    }
    // All of it is proven, also where battery negative itself or a whole box's ground is lost and very much decides at once.
    for answer in &proof.rules {
        let Verdict::Proven { classes, .. } = &answer.verdict else {
            continue;
        };
        for class in classes {
            assert!(
                class.unproven.is_empty(),
                "{}: {}",
                see.book().label_of(answer.rule),
                class.told()
            );
        }
    }
    has(
        "I7",
        Class::Supply,
        &["W84 touching supply", "W85 touching supply"],
    );
    has("I7", Class::Chassis, &["W21 touching chassis"]);
    assert_eq!(named("I7", Class::Open), [""; 0], "opens are safe");
    has("I8", Class::Stuck, &["K1 contact stuck closed"]);
    has("I8", Class::Supply, &["W10 touching supply"]);
    has("I9", Class::Chassis, &["W56 touching chassis"]);
    assert_eq!(named("I9", Class::Open), [""; 0], "opens are safe");
    has("I11", Class::Open, &["W22 off", "W23 off", "F10 blown"]);
    has("I12", Class::Open, &["W08 off"]);
    has("I6", Class::Chassis, &["W19 touching chassis"]);
    for label in ["I5", "I10"] {
        assert!(
            matches!(rule(&see, &proof, label).verdict, Verdict::RestsOn(_)),
            "{label}"
        );
    }
    let unnoticed: Vec<String> = proof
        .unnoticed
        .iter()
        .map(|u| see.book().label_of(u.wire))
        .collect();
    assert_eq!(unnoticed, ["W22", "W23", "W54"]);
    some_examples_are_broken_when_solved_apart(&tables, &see, &proof);
}

/// Examples of a few rules, one fault of each class, are broken when each is solved apart.
fn some_examples_are_broken_when_solved_apart(tables: &Tables, see: &Snapshot, proof: &Proof) {
    let mut apart = Apart::of(tables, live(see));
    for label in ["I1", "I7", "I8", "I9"] {
        let one = rule(see, proof, label);
        for class in Class::ALL {
            if let Some(broken) = one.broken_by(class).last() {
                let (at, fault) = (combination(see, broken), &proof.faults[broken.fault]);
                assert!(
                    apart.breaks(one.rule, &at, Some(fault)),
                    "{label}: {} {at:?}",
                    fault.words
                );
                assert!(!apart.breaks(one.rule, &at, None), "{label} holds without it");
            }
        }
    }
}
