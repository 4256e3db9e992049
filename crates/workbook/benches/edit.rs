//! How long an edit takes from the key to the book: checked, what follows added, applied, at 5,000 wires of which a third
//! are built. `cargo bench -p crimpbook-workbook --bench edit`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

use std::time::{Duration, Instant};

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Stamp, invert},
    log::EntryKind,
    model::*,
    plan,
};

const WIRES: usize = 5000;
const PER_CONNECTOR: usize = 35;
const ROUNDS: usize = 201;

fn main() {
    let start = Clock::start();
    let mut book = big();
    println!(
        "{WIRES} wires, {} records, made in {:?}",
        book.tables().len(),
        start.elapsed()
    );
    let start = Clock::start();
    let loaded = Book::from_tables(book.tables().clone(), None);
    println!("indexes of a loaded book: {:?}", start.elapsed());
    drop(loaded);
    let wires: Vec<Id<Wire>> = book.all::<Wire>().keys().copied().collect();
    let mut ids = IdMaker::new(99);
    let pick = |round: usize| wires[round * 7919 % (wires.len() - ROUNDS)];
    measure(&mut book, "size of a wire, its steps fall back", |book, round| {
        let before = book.get(pick(round)).unwrap().clone();
        let after = Wire {
            area_mm2: before.area_mm2.map(|a| a + 0.25),
            ..before.clone()
        };
        Edit::design("size", vec![Change::replace(before, after)])
    });
    measure(&mut book, "a new wire", |book, round| {
        let like = book.get(pick(round)).unwrap().clone();
        let new = Wire {
            id: ids.make(),
            label: format!("N{round}"),
            from: End::Free,
            ..like
        };
        Edit::design("new", vec![Change::make(new)])
    });
    measure(&mut book, "a wire removed, its steps with it", |book, round| {
        Edit::design(
            "gone",
            vec![Change::remove(book.get(pick(round)).unwrap().clone())],
        )
    });
    let mut ids = IdMaker::new(98);
    measure(&mut book, "a tick", |book, round| {
        // From the back, where nothing is built.
        let wire = wires[wires.len() - 1 - round];
        let step = plan::of_wire(book, wire)[0];
        plan::answer(book, &mut ids, &[step], &done()).unwrap()
    });
    let snapshots = measure(&mut book, "a note of a cavity", |book, round| {
        let before = book.all::<Cavity>().values().nth(round).unwrap().clone();
        let after = Cavity {
            note: "seen".to_owned(),
            ..before.clone()
        };
        Edit::design("note", vec![Change::replace(before, after)])
    });
    drop(snapshots);
    let start = Clock::start();
    let copy = book.clone();
    println!("a snapshot: {:?}", start.elapsed());
    drop(copy);
    let start = Clock::start();
    let sum = plan::Progress::of_all(&book);
    println!(
        "progress of everything ({} steps): {:?}",
        sum.total,
        start.elapsed()
    );
    let start = Clock::start();
    let signals = crimpbook_workbook::signals::Signals::of(&book);
    println!("signals ({} nets): {:?}", signals.nets.len(), start.elapsed());
}

/// Time on the processor where Linux tells it, so that a busy machine does not count; else time on the wall.
struct Clock {
    wall: Instant,
    on_cpu: Option<Duration>,
}

impl Clock {
    fn start() -> Self {
        Self {
            wall: Instant::now(),
            on_cpu: on_cpu(),
        }
    }

    fn elapsed(&self) -> Duration {
        match (self.on_cpu, on_cpu()) {
            (Some(start), Some(now)) => now.saturating_sub(start),
            _ => self.wall.elapsed(),
        }
    }
}

fn on_cpu() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split(' ').next()?.parse().ok().map(Duration::from_nanos)
}

/// Does an edit and takes it back, many times, while a snapshot of the book is held as a worker would.
fn measure(book: &mut Book, what: &str, mut edit: impl FnMut(&Book, usize) -> Edit) -> Book {
    let mut times = Vec::new();
    let mut snapshot = book.clone();
    for round in 0..ROUNDS {
        let edit = edit(book, round);
        let start = Clock::start();
        let entry = book.prepare(edit, stamp(2 * round as u128 + 1)).unwrap();
        book.apply(&entry).unwrap();
        times.push(start.elapsed());
        snapshot = book.clone();
        if round % 2 == 0 {
            let undo = book
                .prepare(invert(&entry), stamp(2 * round as u128 + 2))
                .unwrap();
            book.apply(&undo).unwrap();
        }
    }
    let mean = times.iter().sum::<Duration>() / ROUNDS as u32;
    println!("{what}: mean {mean:?}");
    snapshot
}

fn stamp(n: u128) -> Stamp {
    Stamp {
        id: Id::from_bits(n),
        at: done().at,
        who: "A.".to_owned(),
    }
}

fn done() -> plan::Answer {
    plan::Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).unwrap(),
        who: "A.".to_owned(),
    }
}

/// Every connector of 35 cavities has one wire a cavity; a third of the wires are built.
fn big() -> Book {
    let mut ids = IdMaker::new(1);
    let mut changes = Vec::new();
    let row = |json: serde_json::Value| json;
    let mut cavities: Vec<Id<Cavity>> = Vec::new();
    for n in 0..(2 * WIRES).div_ceil(PER_CONNECTOR) {
        let unit: Id<Unit> = ids.make();
        let connector: Id<Connector> = ids.make();
        changes.push(Change::make(
            serde_json::from_value::<Unit>(row(
                serde_json::json!({"id": unit, "label": format!("U{n}"), "name": "unit"}),
            ))
            .unwrap(),
        ));
        let face = "rows 7 7 7 7 7 staggered, from lower left, seen from mating side";
        let json = serde_json::json!({"id": connector, "unit": unit, "label": format!("U{n}-A"), "sealed": true, "face": face});
        changes.push(Change::make(serde_json::from_value::<Connector>(json).unwrap()));
        for number in 1..=PER_CONNECTOR {
            let id: Id<Cavity> = ids.make();
            let json = serde_json::json!({"id": id, "connector": connector, "number": number.to_string(), "decision": "wired", "kind": "digital_in_high", "why": "the manual says so"});
            changes.push(Change::make(serde_json::from_value::<Cavity>(json).unwrap()));
            cavities.push(id);
        }
    }
    for n in 0..WIRES {
        let id: Id<Wire> = ids.make();
        let json = serde_json::json!({"id": id, "label": format!("W{n}"), "signal": "a signal", "from": {"cavity": cavities[n]}, "to": {"cavity": cavities[n + WIRES]}, "area_mm2": 0.5, "colour": "GN/WH", "length_m": 2.0});
        changes.push(Change::make(serde_json::from_value::<Wire>(json).unwrap()));
    }
    let mut book = Book::default();
    let entry = book
        .prepare(Edit::new(EntryKind::Creation, "made", changes), stamp(1))
        .unwrap();
    book.apply(&entry).unwrap();
    let wires: Vec<Id<Wire>> = book.all::<Wire>().keys().copied().take(WIRES / 3).collect();
    let steps: Vec<_> = wires.iter().flat_map(|w| plan::of_wire(&book, *w)).collect();
    let ticks = plan::answer(&book, &mut ids, &steps, &done()).unwrap();
    let entry = book.prepare(ticks, stamp(2)).unwrap();
    book.apply(&entry).unwrap();
    book
}
