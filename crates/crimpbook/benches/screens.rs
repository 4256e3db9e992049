//! How long a key takes to the drawn screen at 5,000 wires of which a third are built, in memory: what the file's sync
//! takes is measured beside the store. `cargo bench -p crimpbook --bench screens`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use crimpbook::{
    screen::{
        effect::{Effect, Msg, Then},
        keys::{Input, Key},
        model::Model,
        theme::Look,
        update::update,
        view,
    },
    session::{Memory, Session},
};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Stamp},
    log::EntryKind,
    model::*,
    plan,
};
use ratatui::{buffer::Buffer, layout::Rect};

const WIRES: usize = 5000;
const PER_CONNECTOR: usize = 35;
const ROUNDS: usize = 200;

fn main() {
    let mut bench = Bench::new(big());
    println!("{WIRES} wires, {} records", bench.model.book.tables().len());
    let start = Instant::now();
    bench.draw();
    println!("first drawing: {:?}", start.elapsed());
    let down = [Key::Down];
    bench.measure("Overview, cursor down", "go", &down);
    bench.measure("Face, cursor right", "gf", &[Key::Right]);
    bench.measure("Face, a decision repeated", "", &[Key::Char('.')]);
    bench.measure("Sources, cursor down", "gs", &down);
    bench.measure("Build, next step looked at", "gb", &[Key::Right]);
    bench.measure("Build, next wire", "", &down);
    bench.measure("Build, a step done", "", &[Key::Char(' ')]);
    bench.measure("Parts, cursor down", "gp", &down);
    bench.measure(
        "finder, a letter and back",
        "/",
        &[Key::Char('w'), Key::Backspace],
    );
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!("@ key-median-ms {}", ms(bench.slowest.0));
    println!("@ key-99-ms {}", ms(bench.slowest.1));
}

struct Bench {
    session: Session,
    model: Model,
    buffer: Buffer,
    /// The largest median and the largest 99 %.
    slowest: (Duration, Duration),
}

impl Bench {
    fn new(book: Book) -> Self {
        let session = Session::new(Box::new(Memory::default()), book, Vec::new(), "A.", 1, || {
            done().at
        });
        let mut model = Model::new(Arc::clone(session.book()), Vec::new(), "A.", 2, Look::default());
        model.now = done().at;
        Self {
            session,
            model,
            buffer: Buffer::empty(Rect::new(0, 0, 120, 40)),
            slowest: Default::default(),
        }
    }

    fn draw(&mut self) {
        self.buffer.reset();
        view::draw(&self.model, self.buffer.area, &mut self.buffer);
    }

    /// A key as the loop takes it in, with its effects; the checks run on another thread there and are left out here.
    fn key(&mut self, key: Key) {
        let mut waiting = update(&mut self.model, Msg::Input(Input::Key(key)));
        while let Some(effect) = waiting.pop() {
            let answer = match effect {
                Effect::Commit(edit, then) => match self.session.edit(*edit) {
                    Ok(kept) => Msg::Kept(kept, then),
                    Err(trouble) => Msg::NotKept(trouble, None),
                },
                Effect::Undo => Msg::Kept(self.session.undo().unwrap(), Then::default()),
                _ => continue,
            };
            waiting.extend(update(&mut self.model, answer));
        }
    }

    fn measure(&mut self, what: &str, first: &str, keys: &[Key]) {
        for c in first.chars() {
            self.key(Key::Char(c));
        }
        self.draw();
        let mut times: Vec<Duration> = Vec::new();
        for round in 0..ROUNDS {
            let start = Instant::now();
            self.key(keys[round % keys.len()]);
            self.draw();
            times.push(start.elapsed());
        }
        times.sort_unstable();
        let (median, most) = (times[ROUNDS / 2], times[ROUNDS * 99 / 100]);
        println!("{what}: median {median:?}, 99 % {most:?}");
        self.slowest = (self.slowest.0.max(median), self.slowest.1.max(most));
        if !first.is_empty() && first.starts_with('/') {
            self.key(Key::Esc);
        }
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

fn stamp(n: u128) -> Stamp {
    Stamp {
        id: Id::from_bits(n),
        at: done().at,
        who: "A.".to_owned(),
    }
}

/// Connectors of 35 cavities with one wire a cavity; a third of the wires are built.
fn big() -> Book {
    let mut ids = IdMaker::new(1);
    let mut changes = Vec::new();
    let mut cavities: Vec<Id<Cavity>> = Vec::new();
    for n in 0..(2 * WIRES).div_ceil(PER_CONNECTOR) {
        let unit: Id<Unit> = ids.make();
        let connector: Id<Connector> = ids.make();
        let json = serde_json::json!({"id": unit, "label": format!("U{n}"), "name": "unit"});
        changes.push(Change::make(serde_json::from_value::<Unit>(json).unwrap()));
        let face = "rows 7 7 7 7 7 staggered, from lower left, seen from mating side";
        let label = format!("U{n}-A");
        let json =
            serde_json::json!({"id": connector, "unit": unit, "label": label, "sealed": true, "face": face});
        changes.push(Change::make(serde_json::from_value::<Connector>(json).unwrap()));
        for number in 1..=PER_CONNECTOR {
            let id: Id<Cavity> = ids.make();
            let kind = if cavities.len() < WIRES {
                "high_side_out"
            } else {
                "digital_in_high"
            };
            let json = serde_json::json!({
                "id": id, "connector": connector, "number": number.to_string(), "decision": "wired", "kind": kind
            });
            changes.push(Change::make(serde_json::from_value::<Cavity>(json).unwrap()));
            cavities.push(id);
        }
    }
    for n in 0..WIRES {
        let id: Id<Wire> = ids.make();
        let json = serde_json::json!({
            "id": id, "label": format!("W{n}"), "signal": "a signal", "from": {"cavity": cavities[n]},
            "to": {"cavity": cavities[n + WIRES]}, "area_mm2": 0.5, "colour": "GN/WH", "length_m": 2.0
        });
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
