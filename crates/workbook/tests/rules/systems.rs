//! Generated systems against what z3 says of them (`tests/data/rules/generate.py`; its version stands in each file).

use std::{collections::BTreeSet, fs, path::PathBuf, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::Rule,
    rules::{Class, Proof, Verdict},
};

use crate::apart;

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("../../tests/data/rules/{name}"))
}

fn lines(name: &str) -> Vec<String> {
    let text = fs::read_to_string(path(name)).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(str::to_owned).collect()
}

/// z3 was asked about every fault there is; exactly those break a rule that it finds, and nothing is left unproven.
fn agrees(name: &str, combinations: u64) {
    let tables = apart::read(&path(&format!("{name}.json")));
    let see = Snapshot::new(Arc::new(Book::from_tables(tables, None)));
    let proof: &Proof = see.proof();
    assert_eq!(proof.combinations, combinations);
    let asked: BTreeSet<String> = lines(&format!("{name}.faults.csv")).into_iter().collect();
    let known: BTreeSet<String> = proof.faults.iter().map(|f| f.words.clone()).collect();
    assert_eq!(asked, known);
    let expected: BTreeSet<String> = lines(&format!("{name}.pairs.csv")).into_iter().collect();
    let mut found = BTreeSet::new();
    for answer in &proof.rules {
        let Verdict::Proven { classes, .. } = &answer.verdict else {
            panic!("{answer:?}");
        };
        assert!(
            classes.iter().all(|class| class.unproven.is_empty()),
            "{answer:?}"
        );
        let rule = see
            .book()
            .get(answer.rule)
            .map(|r: &Rule| r.label.clone())
            .unwrap();
        for class in Class::ALL {
            let faults = answer
                .broken_by(class)
                .iter()
                .map(|b| &proof.faults[b.fault].words);
            found.extend(faults.map(|f| format!("{f},{rule}")));
        }
    }
    let only =
        |one: &BTreeSet<String>, other: &BTreeSet<String>| one.difference(other).cloned().collect::<Vec<_>>();
    assert_eq!(
        (only(&found, &expected), only(&expected, &found)),
        (vec![], vec![])
    );
}

/// Real levels, grounds that are lost, and voltages between thresholds; rules over facts, over signals and over both.
#[test]
fn six_switches_give_the_pairs_that_z3_finds() {
    agrees("six", 1 << 6);
}

#[test]
fn fourteen_switches_give_the_pairs_that_z3_finds() {
    agrees("fourteen", 1 << 14);
}

#[test]
fn twenty_four_switches_give_the_pairs_that_z3_finds() {
    agrees("twentyfour", 1 << 24);
}
