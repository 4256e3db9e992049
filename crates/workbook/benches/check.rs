//! How long the checks take over the demo and over a workbook of 5,000 wires, from nothing and after one edit.
//! `cargo bench -p crimpbook-workbook --bench check`; `CRIMPBOOK_BENCH_EACH=1` adds every check by itself,
//! `CRIMPBOOK_BENCH_COPIES=8` takes another size.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

mod fleet;

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{self, CHECKS, Out},
    edit::{Change, Edit},
    model::*,
};

/// 56 demo vehicles have 5,000 wires.
const COPIES: usize = 56;

fn main() {
    let copies = std::env::var("CRIMPBOOK_BENCH_COPIES")
        .ok()
        .and_then(|n| n.parse().ok());
    let large = fleet::fleet(copies.unwrap_or(COPIES));
    for (name, book, rounds) in [("demo", fleet::demo(), 41), ("large", large, 3)] {
        let book = Arc::new(book);
        println!(
            "{name}: {} wires, {} records",
            book.all::<Wire>().len(),
            book.tables().len()
        );
        let from_nothing = times(rounds, || {
            let see = Snapshot::new(Arc::clone(&book));
            drop(check::run_without_mends(&see));
        });
        println!("  all findings from nothing: {}", from_nothing.0);
        let name = if name == "demo" { "demo" } else { "5000" };
        println!("@ findings-{name}-ms {}", from_nothing.1.as_secs_f64() * 1e3);
        // Of a large book the list is shown before mends are tried out.
        if rounds > 3 {
            let with_mends = times(3, || {
                drop(check::run(&Snapshot::new(Arc::clone(&book))));
            });
            println!("  with mends tried out: {}", with_mends.0);
        }
        after_edits(&book, name, rounds);
        stages(&book);
    }
}

/// The findings after an edit, with the snapshot of before at hand.
fn after_edits(book: &Arc<Book>, name: &str, rounds: usize) {
    let see = Snapshot::new(Arc::clone(book));
    let report = check::run_without_mends(&see);
    println!(
        "  {} findings, {} notes, {} missing facts",
        report.findings.len(),
        report.notes.len(),
        report.cannot_check.len()
    );
    let wire = book.get(book.index().labelled::<Wire>("W45").unwrap()).unwrap();
    let cavity = book.get(book.find_cavity("MC-A27").unwrap()).unwrap();
    let longer = wire.length_m.map(|m| m + 0.4);
    let another = Wire {
        id: Id::from_bits(u128::MAX / 3),
        label: "W-NEW".to_owned(),
        ..wire.clone()
    };
    let edits = [
        (
            "a wire's size",
            "size",
            Change::replace(
                wire.clone(),
                Wire {
                    area_mm2: Some(1.5),
                    ..wire.clone()
                },
            ),
        ),
        (
            "a wire's length",
            "length",
            Change::replace(
                wire.clone(),
                Wire {
                    length_m: longer,
                    ..wire.clone()
                },
            ),
        ),
        ("an added wire", "wire", Change::make(another)),
        (
            "a wire's label",
            "label",
            Change::replace(
                wire.clone(),
                Wire {
                    label: "W45-NEW".to_owned(),
                    ..wire.clone()
                },
            ),
        ),
        (
            "a wire's colour",
            "colour",
            Change::replace(
                wire.clone(),
                Wire {
                    colour: "RD".parse().ok(),
                    ..wire.clone()
                },
            ),
        ),
        (
            "a cavity's decision",
            "decision",
            Change::replace(
                cavity.clone(),
                Cavity {
                    decision: Decision::Blank,
                    ..cavity.clone()
                },
            ),
        ),
        (
            "a cavity's note",
            "note",
            Change::replace(
                cavity.clone(),
                Cavity {
                    note: "seen".to_owned(),
                    ..cavity.clone()
                },
            ),
        ),
    ];
    for (what, word, change) in edits {
        let mut after = Book::clone(book);
        fleet::make(&mut after, Edit::design(what, vec![change]), 2);
        let after = Arc::new(after);
        let took = times(rounds, || {
            drop(check::run_without_mends(&see.next(Arc::clone(&after))));
        });
        println!("  all findings after an edit of {what}: {}", took.0);
        println!("@ edit-{word}-{name}-ms {}", took.1.as_secs_f64() * 1e3);
        // What is on the screen is let go when something newer is.
        let mut shown = Vec::new();
        let at_once = times(rounds, || {
            let next = see.next(Arc::clone(&after));
            let list = check::list_at_once(&next);
            shown.push((next, list));
        });
        drop(shown);
        println!("    of it the list at once: {}", at_once.0);
        println!("@ listed-{word}-{name}-ms {}", at_once.1.as_secs_f64() * 1e3);
    }
}

/// What the findings from nothing are made of.
fn stages(book: &Arc<Book>) {
    if std::env::var_os("CRIMPBOOK_BENCH_EACH").is_none() {
        return;
    }
    let see = Snapshot::new(Arc::clone(book));
    let stage = |what: &str, run: &mut dyn FnMut()| {
        let start = Instant::now();
        run();
        println!("    {what}: {:?}", start.elapsed());
    };
    stage("wiring", &mut || assert!(see.wiring().parts.len() < usize::MAX));
    stage("warmth", &mut || assert!(see.warmth().wires.len() < usize::MAX));
    stage("states", &mut || assert!(see.states().len() < usize::MAX));
    stage("worst", &mut || assert!(see.worst().len() < usize::MAX));
    stage("protection", &mut || {
        assert!(see.protection().zones.len() < usize::MAX)
    });
    stage("signals", &mut || assert!(see.signals().nets.len() < usize::MAX));
    for check in CHECKS {
        let mut out = Out::default();
        stage(check.name, &mut || (check.find)(&see, &mut out));
    }
    stage("whole list again", &mut || drop(check::run_without_mends(&see)));
}

/// Least and median of some rounds, in words, and the median; the least tells most on a machine that has other work.
fn times(rounds: usize, mut run: impl FnMut()) -> (String, Duration) {
    let mut took: Vec<Duration> = Vec::new();
    for _ in 0..rounds {
        let start = Instant::now();
        run();
        took.push(start.elapsed());
    }
    took.sort_unstable();
    let median = took[took.len() / 2];
    (format!("least {:?}, median {median:?}", took[0]), median)
}
