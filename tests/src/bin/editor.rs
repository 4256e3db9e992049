//! A stand-in for a person at the plan, for tests that kill it in the middle of changes of all kinds.
//!
//! `editor make FILE` makes the demo's workbook. `editor edit FILE SEED` goes on making changes drawn by the seed (fields, ends,
//! splices, decisions, names, units, connectors, removals, ticks, readings, undo and redo, now and then a release) and
//! says `ack SEQ ID KIND` when each has been committed. What the door refuses is drawn anew. An error is a sentence, exit code 4.

use std::{
    io::{self, Write},
    path::Path,
    process::ExitCode,
};

use crimpbook_record::demo::entries;
use crimpbook_store::{Store, StoreError};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Refusal, Stamp, find_redo, find_undo, invert, make},
    log::{EntryHead, EntryKind},
    model::{Cavity, Decision, End, Id, IdMaker, Key, Outcome, Reading, Row, StepDone, Unit, Wire, WireEnd},
    plan::{all_steps, rests},
};

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let done = match args[..] {
        ["make", file] => make_demo(Path::new(file)),
        ["edit", file, seed] => edit(Path::new(file), seed.parse().expect("a seed")),
        _ => panic!("usage: editor make FILE | edit FILE SEED"),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(&error.to_string());
            ExitCode::from(4)
        }
    }
}

fn make_demo(path: &Path) -> Result<(), StoreError> {
    let entries = entries().expect("the demo's story holds");
    Store::create(path, &entries)?.store.close()
}

fn edit(path: &Path, seed: u64) -> Result<(), StoreError> {
    let opened = Store::open(path)?;
    let (mut store, mut book, mut heads) = (opened.store, opened.book, opened.heads);
    let mut draw = Draw(seed);
    let mut ids = IdMaker::new(u128::from(seed) << 32 | 0x00ed);
    loop {
        let drawn = match draw.below(16) {
            0 => find_undo(&heads, WHO).map(|of| of.seq),
            1 => find_redo(&heads, WHO).map(|of| of.seq),
            _ => Err(Refusal::CannotUndo(String::new())),
        };
        let edit = match drawn {
            Ok(seq) => invert(&store.entry(seq)?),
            Err(_) => match drawn_edit(&book, &mut ids, &mut draw) {
                Ok(edit) => edit,
                Err(_) => continue,
            },
        };
        let stamp = Stamp {
            id: ids.make(),
            at: "2026-03-01T09:30:00Z".parse().expect("a time"),
            who: WHO.to_owned(),
        };
        let Ok(entry) = book.prepare(edit, stamp) else {
            continue;
        };
        let head: EntryHead = store.commit(&entry)?;
        book.apply(&entry).expect("what was committed applies");
        say(&format!("ack {} {} {:?}", head.seq, head.id, head.kind));
        heads.push(head);
    }
}

const WHO: &str = "anna";

/// Numbers that follow from a seed.
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % n as u64).expect("it is below n")
    }

    /// A record of a kind.
    fn record<R: Row>(&mut self, book: &Book) -> Result<Id<R>, Refusal> {
        let mut all: Vec<Id<R>> = book.all::<R>().values().map(Row::id).collect();
        all.sort_unstable();
        if all.is_empty() {
            return Err(Refusal::CannotUndo("there is none".to_owned()));
        }
        Ok(all[self.below(all.len())])
    }
}

fn drawn_edit(book: &Book, ids: &mut IdMaker, draw: &mut Draw) -> Result<Edit, Refusal> {
    // After a release what is wired asks for a why.
    let because = |edit: Edit| Edit {
        why: "tried by the test".to_owned(),
        ..edit
    };
    let tenths = |draw: &mut Draw| (draw.below(60) + 5) as f64 / 10.0;
    let edit = match draw.below(13) {
        0 => {
            let field = make::WireField::Length(Some(tenths(draw)));
            make::set_wires(book, &[draw.record::<Wire>(book)?], &field)?
        }
        1 => {
            let wires = [draw.record::<Wire>(book)?, draw.record::<Wire>(book)?];
            make::set_wires(
                book,
                &wires,
                &make::WireField::Note(format!("note {}", draw.below(1000))),
            )?
        }
        2 => {
            let length_m = tenths(draw);
            make::insert_splice(book, ids, draw.record::<Wire>(book)?, length_m / 3.0)?
        }
        3 => {
            let decision = if draw.below(2) == 0 {
                Decision::Reserved
            } else {
                Decision::Blank
            };
            make::decide(
                book,
                &[draw.record::<Cavity>(book)?],
                decision,
                "tried by the test",
            )?
        }
        4 => {
            let end = if draw.below(2) == 0 {
                WireEnd::From
            } else {
                WireEnd::To
            };
            let to = End::Cavity(draw.record::<Cavity>(book)?);
            make::move_end(book, draw.record::<Wire>(book)?, end, to)?
        }
        5 => make::like(book, ids, draw.record::<Wire>(book)?)?,
        6 => {
            let label = format!("U{}", draw.below(100_000));
            make::add_unit(book, ids, &label, "a unit of the test")?
        }
        7 => {
            let draft = make::ConnectorDraft {
                label: format!("U{}-A", draw.below(100_000)),
                name: String::new(),
                sealed: None,
                face: "grid 3 4 mating".to_owned(),
            };
            make::add_connector(book, ids, draw.record::<Unit>(book)?, &draft)?
        }
        8 => make::remove(book, Key::of(draw.record::<Wire>(book)?))?,
        9 => {
            let label = format!("W{}", 1000 + draw.below(100_000));
            make::rename(book, Key::of(draw.record::<Wire>(book)?), &label)?
        }
        10 => reading(book, ids, draw)?,
        11 if draw.below(20) == 0 => make::release(book, "the test goes on")?,
        _ => tick(book, ids, draw),
    };
    Ok(if edit.kind == EntryKind::Progress {
        edit
    } else {
        because(edit)
    })
}

fn tick(book: &Book, ids: &mut IdMaker, draw: &mut Draw) -> Edit {
    let steps = all_steps(book);
    let step = steps[draw.below(steps.len())];
    let done = StepDone {
        id: ids.make(),
        of: step.of,
        step: step.step,
        outcome: Outcome::Done,
        at: "2026-03-01T09:30:00Z".parse().expect("a time"),
        who: WHO.to_owned(),
        note: String::new(),
        rested_on: rests(book, step),
        redo: None,
    };
    Edit::new(EntryKind::Progress, "a step", vec![Change::make(done)])
}

fn reading(book: &Book, ids: &mut IdMaker, draw: &mut Draw) -> Result<Edit, Refusal> {
    let reading = Reading {
        id: ids.make(),
        test: None,
        at_cavity: draw.record::<Cavity>(book)?,
        against: End::Free,
        state: None,
        held: None,
        value: Some(draw.below(100) as f64 / 100.0),
        measure: "Ω".to_owned(),
        expected_least: None,
        expected_most: None,
        current_a: None,
        leads_ohm: None,
        taken: "2026-03-01T09:30:00Z".parse().expect("a time"),
        who: WHO.to_owned(),
        meter: String::new(),
        note: String::new(),
        rested_on: Vec::new(),
        lapsed: None,
    };
    Ok(Edit::new(
        EntryKind::Reading,
        "a reading",
        vec![Change::make(reading)],
    ))
}

/// One line in one write, so that nobody sees half of it.
fn say(line: &str) {
    let mut out = io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes())
        .expect("somebody reads");
    out.flush().expect("somebody reads");
}
