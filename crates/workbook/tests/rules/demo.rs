//! What is known of the demo's rules by reasoning, and what solving each case apart says.

use std::{path::Path, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{End, Rule, Tables, Wire},
    rules::{Broken, Class, Proof, RuleProof, Verdict},
};

use crate::apart::{self, Apart, Combination};

fn tables() -> Tables {
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

fn live(see: &Snapshot) -> End {
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

fn print(see: &Snapshot, proof: &Proof) {
    for one in &proof.rules {
        println!("{}", see.book().label_of(one.rule));
        match &one.verdict {
            Verdict::Proven { without_fault, .. } => {
                println!("  healthy {without_fault:?}");
                for class in Class::ALL {
                    for b in one.broken_by(class) {
                        let at = combination(see, b);
                        println!(
                            "  {}: {} {at:?} {:?} {}",
                            class.words(),
                            proof.faults[b.fault].words,
                            b.example.shows,
                            b.combinations
                        );
                    }
                }
            }
            other => println!("  {other:?}"),
        }
    }
    for u in &proof.unnoticed {
        println!("unnoticed {} {:?}", see.book().label_of(u.wire), u.rules);
    }
    println!("{:?}", proof.assumed);
}

#[test]
fn what_is_known_by_reasoning_is_found() {
    let tables = tables();
    let begin = std::time::Instant::now();
    let (see, proof) = proof(&tables);
    println!("{:?}", begin.elapsed());
    print(&see, &proof);
    let _ = (words(&proof, &[]), rule(&see, &proof, "I1"));
}

/// The example of each broken rule is broken when it is solved apart.
#[test]
fn every_example_is_broken_when_solved_apart() {
    let tables = tables();
    let (see, proof) = proof(&tables);
    let mut apart = Apart::of(&tables, live(&see));
    for one in &proof.rules {
        for class in Class::ALL {
            for broken in one.broken_by(class) {
                let (at, fault) = (combination(&see, broken), &proof.faults[broken.fault]);
                let label = see.book().label_of(one.rule);
                if !apart.breaks(one.rule, &at, Some(fault)) {
                    println!("NOT BROKEN {label} {} {at:?}", fault.words);
                }
            }
        }
    }
    println!("{}", apart.solutions);
}
