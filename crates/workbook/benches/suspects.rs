//! Fault finding: how soon the first suspects stand, and how a trial with faults by seed goes.
//! `cargo bench -p crimpbook-workbook --bench suspects`; `CRIMPBOOK_TRIAL_SEEDS=10` tries other seeds as well.
//!
//! To reach, on two cores: first suspects within 0.2 s on the demo, 2 s at 1,000 wires. The screen shows them without wires that
//! touch something first, and those follow. Trying an edit on the demo is to answer within 0.1 s without proofs.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark that cannot go on may stop"
)]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

mod fleet;
#[path = "../../../tests/tests/suspects/trial.rs"]
mod trial;

use std::{sync::Arc, time::Instant};

use crimpbook_workbook::{
    analysis::{
        Snapshot,
        suspects::{Inquiry, Symptom, Watched, next_places, suspects},
    },
    check,
    edit::{Change, Edit, Stamp},
    model::*,
    tried::{Cost, Judged},
};

/// Eleven demo vehicles have 1,000 wires.
const COPIES: usize = 11;

fn main() {
    for (name, book, rounds) in [("demo", fleet::demo(), 9), ("large", fleet::fleet(COPIES), 3)] {
        let book = Arc::new(book);
        let mut early: Vec<f64> = (0..rounds).map(|_| without_touches(&book)).collect();
        early.sort_by(f64::total_cmp);
        println!(
            "{name}: first suspects, without wires that touch something, after {:.3} s",
            early[rounds / 2]
        );
        let mut tried: Vec<f64> = (0..rounds).map(|_| trying(&book)).collect();
        tried.sort_by(f64::total_cmp);
        println!(
            "{name}: an edit tried, its cost told without proofs, after {:.3} s",
            tried[rounds / 2]
        );
        let mut seconds: Vec<(f64, f64, f64)> = (0..rounds).map(|_| first_suspects(&book)).collect();
        seconds.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (all, state, rest) = seconds[rounds / 2];
        println!(
            "{name}: {} wires: first suspects and next places after {all:.3} s; without the states {state:.3} s; each further reading {rest:.4} s",
            book.all::<Wire>().len(),
        );
        let size = if name == "demo" { "demo" } else { "1000" };
        println!("@ suspects-{size}-s {all}");
        if name == "demo" {
            println!("@ tried-demo-s {}", tried[rounds / 2]);
        }
    }
    let seeds: u64 = std::env::var("CRIMPBOOK_TRIAL_SEEDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(1);
    if seeds == 0 {
        return;
    }
    let plan = trial::plan();
    for battery in [true, false] {
        let (mut told, mut lot, mut cases) = (trial::Tally::default(), trial::Tally::default(), 0);
        for seed in 1..=seeds {
            let mut all = trial::All::default();
            for mut case in trial::cases(&plan, &mut all, 40, seed) {
                cases += 1;
                let went = trial::look_for(&plan, &mut all, &mut case, 3, battery, false);
                if went.ranks.contains(&None) {
                    println!("  ruled out: {}", case.name);
                }
                told.add(&went);
                lot.add(&trial::look_for(&plan, &mut all, &mut case, 12, battery, true));
            }
        }
        let known = if battery {
            "battery read first"
        } else {
            "battery not read"
        };
        println!("{cases} faults by seed, {known}: places told by the program, up to 3 readings: {told}");
        println!("{cases} faults by seed, {known}: places by lot, up to 12 readings: {lot}");
    }
}

/// Seconds from a book to the first suspects, as the screen shows them at first.
fn without_touches(book: &Arc<crimpbook_workbook::Book>) -> f64 {
    let begin = Instant::now();
    let see = Snapshot::new(Arc::clone(book));
    let of = see
        .state(book.index().labelled::<State>("DRIVE").unwrap())
        .unwrap();
    let signatures = see.signatures_of(of, None, false).unwrap();
    let pump = |w: &Watched| w.label == "coolant pump motor";
    let watched = signatures.watched.iter().position(pump).unwrap();
    let inquiry = Inquiry {
        symptoms: vec![Symptom { watched, on: false }],
        ..Inquiry::default()
    };
    let found = suspects(&signatures, &inquiry);
    assert!(!next_places(&signatures, &inquiry, &found, 3).is_empty());
    begin.elapsed().as_secs_f64()
}

/// Seconds in which an edit that is tried answers: through the door, figures, checks, what it costs. The plan before is at hand.
fn trying(book: &Arc<crimpbook_workbook::Book>) -> f64 {
    let before = Snapshot::new(Arc::clone(book));
    let old = check::run_without_mends(&before);
    let wire = book
        .all::<Wire>()
        .values()
        .find(|w| w.label.ends_with("W19"))
        .unwrap();
    let mut longer = wire.clone();
    longer.length_m = Some(40.0);
    let edit = Edit::design("longer", vec![Change::replace(wire.clone(), longer)]).because("tried");
    let begin = Instant::now();
    let stamp = Stamp {
        id: Id::from_bits(1),
        at: chrono::DateTime::UNIX_EPOCH,
        who: String::new(),
    };
    let entry = book.prepare(edit, stamp).unwrap();
    let mut after = crimpbook_workbook::Book::clone(book);
    after.apply(&entry).unwrap();
    let after = before.next(Arc::new(after));
    let new = check::run_without_mends(&after);
    let judged = |see, report| Judged { see, report };
    let cost = Cost::of(judged(&before, &old), judged(&after, &new));
    assert!(!cost.is_nothing());
    begin.elapsed().as_secs_f64()
}

/// Seconds from a book to the first suspects and where to measure; the same with the states at hand; and for one reading more.
fn first_suspects(book: &Arc<crimpbook_workbook::Book>) -> (f64, f64, f64) {
    let begin = Instant::now();
    let see = Snapshot::new(Arc::clone(book));
    let state = book.index().labelled::<State>("DRIVE").unwrap();
    let of = see.state(state).unwrap();
    let solved = Instant::now();
    let signatures = see.signatures(of, None).unwrap();
    let watched = signatures
        .watched
        .iter()
        .position(|w| w.label == "coolant pump motor")
        .unwrap();
    let mut inquiry = Inquiry {
        symptoms: vec![Symptom { watched, on: false }],
        ..Inquiry::default()
    };
    let found = suspects(&signatures, &inquiry);
    let next = next_places(&signatures, &inquiry, &found, 3);
    let (whole, from_states) = (begin.elapsed().as_secs_f64(), solved.elapsed().as_secs_f64());
    let again = Instant::now();
    inquiry.readings.push((next[0].place, 0.0));
    let found = suspects(&signatures, &inquiry);
    drop(next_places(&signatures, &inquiry, &found, 3));
    (whole, from_states, again.elapsed().as_secs_f64())
}
