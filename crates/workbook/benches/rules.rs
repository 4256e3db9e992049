//! Rules proven from nothing: the invented vehicle, and 24 switches with 257 faults × 7 rules,
//! 1,799 pairs, all of which z3 was asked about.
//!
//! To reach, on two cores: 0.3 s on the invented vehicle; over 24 switches 0.05 s to combine, 0.3 s with the pieces' tables. Then edits by
//! seed are tried on the invented vehicle: of the rules that they are said to leave as they were, none may have another answer when it
//! is proven anew. `CRIMPBOOK_TRIED_EDITS=500` tries more of them.

#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]
#![allow(clippy::expect_used, reason = "a benchmark that cannot go on may stop")]

#[path = "../../../tests/tests/tried/edits.rs"]
mod edits;

use std::{hint::black_box, path::Path, sync::Arc, time::Instant};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{RecordLists, Tables},
};

fn book(name: &str) -> Arc<Book> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(name);
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let mut value: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    let records: Option<RecordLists> = serde_json::from_value(value["records"].take()).ok();
    let mut tables = Tables::default();
    let records = records.map(RecordLists::into_records).unwrap_or_default();
    records.into_iter().for_each(|record| tables.put(record));
    Arc::new(Book::from_tables(tables, None))
}

fn main() {
    for name in [
        "demo/marrowby-pipit.json",
        "tests/data/rules/six.json",
        "tests/data/rules/fourteen.json",
        "tests/data/rules/twentyfour.json",
    ] {
        let book = book(name);
        let mut seconds: Vec<f64> = (0..7)
            .map(|_| {
                let begin = Instant::now();
                let see = Snapshot::new(Arc::clone(&book));
                black_box(see.proof());
                begin.elapsed().as_secs_f64()
            })
            .collect();
        seconds.sort_by(f64::total_cmp);
        let see = Snapshot::new(Arc::clone(&book));
        let proof = see.proof();
        println!(
            "{name}: {} switches, {} faults × {} rules, median {:.3} s, least {:.3} s",
            proof.switches.len(),
            proof.faults.len(),
            proof.rules.len(),
            seconds.get(3).copied().unwrap_or(f64::NAN),
            seconds.first().copied().unwrap_or(f64::NAN)
        );
        let known_as = match name {
            "demo/marrowby-pipit.json" => "rules-demo-s",
            "tests/data/rules/twentyfour.json" => "rules-s",
            _ => continue,
        };
        println!("@ {known_as} {}", seconds.get(3).copied().unwrap_or(f64::NAN));
    }
    let count = std::env::var("CRIMPBOOK_TRIED_EDITS").ok();
    let count = count.and_then(|n| n.parse().ok()).unwrap_or(100);
    if count == 0 {
        return;
    }
    let tally = edits::try_edits(&Snapshot::new(book("demo/marrowby-pipit.json")), count, 1);
    println!(
        "{} edits tried: {} times a rule was said to be open again and {} times to stay; {} answers are others; of those said to stay {}, and {} by a short elsewhere",
        tally.edits,
        tally.open,
        tally.stay,
        tally.otherwise,
        tally.wrong.len(),
        tally.shorts.len()
    );
    for wrong in tally.wrong.iter().chain(&tally.shorts) {
        println!("  {wrong}");
    }
}
