//! How long a key takes to the drawn screen at 5,000 wires (56 demo vehicles in one) of which a third are built, checked
//! and with every state computed, in memory: what the file's sync takes is measured beside the store.
//! `cargo bench -p crimpbook --bench screens`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

#[allow(dead_code, reason = "the benches of the checks use the rest of it")]
#[path = "../../workbook/benches/fleet/mod.rs"]
mod fleet;

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use crimpbook::{
    screen::{
        computed::Computed,
        effect::{Effect, Msg, Then},
        keys::{Input, Key},
        model::Model,
        theme::Look,
        update::{check, update},
        view,
    },
    session::{Memory, Session},
};
use crimpbook_workbook::{
    Book,
    edit::Stamp,
    model::{Id, IdMaker, Outcome, Wire},
    plan,
};
use ratatui::{buffer::Buffer, layout::Rect};

const COPIES: usize = 56;
const ROUNDS: usize = 200;

fn main() {
    let mut bench = Bench::new(third_built(fleet::fleet(COPIES)));
    let wires = bench.model.book.all::<Wire>().len();
    println!("{wires} wires, {} records", bench.model.book.tables().len());
    let start = Instant::now();
    bench.draw();
    println!("first drawing: {:?}", start.elapsed());
    bench.checked();
    let (up, down, right) = (Key::Up, Key::Down, Key::Right);
    let (space, undo) = (Key::Char(' '), Key::Char('u'));
    bench.measure("Overview, cursor down", "go", &[down]);
    bench.measure("Face, cursor right", "gf", &[right]);
    bench.measure("Sources, cursor down", "gs", &[down]);
    bench.measure("Protection, cursor down", "gr", &[down]);
    bench.measure("Protection, a fuse and its wires", "p", &[right]);
    bench.measure("Protection, far ends", "f", &[down]);
    bench.measure("States, cursor down and up", "gt", &[down, up]);
    bench.measure("States, what is written down", "w", &[down]);
    bench.measure("Tests, cursor down", "gm", &[down]);
    bench.measure("Settings, cursor down", "ge", &[down]);
    bench.measure("Trials, cursor down", "gd", &[down]);
    bench.measure("Parts, cursor down", "gp", &[down]);
    bench.measure(
        "finder, a letter and back",
        "/",
        &[Key::Char('w'), Key::Backspace],
    );
    bench.measure("Build, next step looked at", "gb", &[right]);
    bench.measure("Build, next wire", "", &[down]);
    bench.measure("Build, a step done", "", &[space]);
    bench.measure("Build, a step done and taken back", "", &[space, undo]);
    bench.measure(
        "Overview, back to it after a step",
        "",
        &[
            Key::Char('g'),
            Key::Char('b'),
            space,
            Key::Char('g'),
            Key::Char('o'),
        ],
    );
    bench.measure("Log, cursor down", "gl", &[down]);
    bench.type_in("/ci-a3\ndbspare\n");
    bench.measure(
        "Face, a decision repeated and taken back",
        "",
        &[Key::Char('.'), undo],
    );
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!("@ key-median-ms {}", ms(bench.slowest.0));
    println!("@ key-99-ms {}", ms(bench.slowest.1));
}

struct Bench {
    session: Session,
    model: Model,
    buffer: Buffer,
    /// Questions of the screen, which a worker answers.
    asked: Vec<Effect>,
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
            asked: Vec::new(),
            slowest: Default::default(),
        }
    }

    /// The checks have run.
    fn checked(&mut self) {
        check(&mut self.model);
        let computed = Arc::new(Computed::of(Arc::clone(&self.model.book)));
        let generation = self.model.findings.generation;
        update(&mut self.model, Msg::Checked(generation, computed));
    }

    fn draw(&mut self) {
        self.buffer.reset();
        view::draw(&self.model, self.buffer.area, &mut self.buffer);
    }

    /// A key as the loop takes it in, with its effects; the checks and questions go to another thread there and are left
    /// out here.
    fn key(&mut self, key: Key) {
        let mut waiting = update(&mut self.model, Msg::Input(Input::Key(key)));
        while let Some(effect) = waiting.pop() {
            let answer = match effect {
                Effect::Commit(edit, then) => match self.session.edit(*edit) {
                    Ok(kept) => Msg::Kept(kept, then),
                    Err(trouble) => Msg::NotKept(trouble, None),
                },
                Effect::Undo => Msg::Kept(self.session.undo().unwrap(), Then::default()),
                Effect::Ask(..) => {
                    self.asked.push(effect);
                    continue;
                }
                _ => continue,
            };
            waiting.extend(update(&mut self.model, answer));
        }
    }

    /// The worker answers.
    fn answer(&mut self) {
        for effect in std::mem::take(&mut self.asked) {
            if let Effect::Ask(generation, of, question) = effect
                && let Some(see) = &of.snapshot
            {
                let answer = Arc::new(question.answer(see));
                update(&mut self.model, Msg::Answered(generation, question, answer));
            }
        }
    }

    fn type_in(&mut self, text: &str) {
        for c in text.chars() {
            self.key(match c {
                '\n' => Key::Enter,
                c => Key::Char(c),
            });
            self.answer();
        }
        self.draw();
    }

    fn measure(&mut self, what: &str, first: &str, keys: &[Key]) {
        self.type_in(first);
        let mut times: Vec<Duration> = Vec::new();
        for round in 0..ROUNDS {
            let start = Instant::now();
            self.key(keys[round % keys.len()]);
            self.draw();
            times.push(start.elapsed());
            self.answer();
        }
        times.sort_unstable();
        let (median, most) = (times[ROUNDS / 2], times[ROUNDS * 99 / 100]);
        println!(
            "{what}: median {median:?}, 99 % {most:?}, most {:?}",
            times[ROUNDS - 1]
        );
        self.slowest = (self.slowest.0.max(median), self.slowest.1.max(most));
        if first == "/" {
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

/// The book with a third of its wires built.
fn third_built(mut book: Book) -> Book {
    let mut ids = IdMaker::new(1);
    let wires = book.all::<Wire>();
    let third: Vec<Id<Wire>> = wires.keys().copied().take(wires.len() / 3).collect();
    let steps: Vec<_> = third.iter().flat_map(|w| plan::of_wire(&book, *w)).collect();
    let ticks = plan::answer(&book, &mut ids, &steps, &done()).unwrap();
    let entry = book.prepare(ticks, stamp(2)).unwrap();
    book.apply(&entry).unwrap();
    book
}
