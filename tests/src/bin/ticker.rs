//! A stand-in for the program at the bench, for tests that kill it, trace it, or take its permissions away.
//!
//! `ticker make FILE` makes a workbook with one wire. `ticker tick FILE N` ticks N build steps, says `ack SEQ` when each has been
//! committed, and closes. `ticker look FILE` says how many steps there are. An error is `CAUSE: sentence`, exit code 4.

use std::{
    io::{self, Write},
    path::Path,
    process::ExitCode,
};

use crimpbook_store::{Cause, Store, StoreError};
use crimpbook_workbook::{
    edit::Change,
    log::{ENTRY_SCHEMA, Entry, EntryKind},
    model::{Built, End, Id, Outcome, Step, StepDone, Wire},
};

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let done = match args[..] {
        ["make", file] => make(Path::new(file)),
        ["tick", file, count] => tick(Path::new(file), count.parse().expect("a count")),
        ["look", file] => look(Path::new(file)),
        _ => panic!("usage: ticker make FILE | tick FILE N | look FILE"),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(&format!("{:?}: {error}", error.cause));
            ExitCode::from(4)
        }
    }
}

fn make(path: &Path) -> Result<(), StoreError> {
    let wire: Wire = serde_json::from_str(r#"{"id": "w1", "label": "W1", "from": "free", "to": "free"}"#)
        .expect("a wire of two free ends");
    assert_eq!(wire.from, End::Free);
    let made = entry(EntryKind::Creation, 0, Change::make(wire));
    Store::create(path, &[made])?.store.close()
}

fn tick(path: &Path, count: u128) -> Result<(), StoreError> {
    let opened = Store::open(path)?;
    let mut store = opened.store;
    let mut done = opened.book.all::<StepDone>().len() as u128;
    for _ in 0..count {
        let head = loop {
            match store.commit(&tick_entry(done + 1)) {
                // Another ticker was quicker: look again and repeat, as a person would.
                Err(error) if error.cause == Cause::MovedOn => {
                    done = store.reload()?.0.all::<StepDone>().len() as u128;
                }
                committed => break committed?,
            }
        };
        done += 1;
        say(&format!("ack {}", head.seq));
    }
    store.close()?;
    say("closed");
    Ok(())
}

fn tick_entry(n: u128) -> Entry {
    let step = StepDone {
        id: Id::from_bits(n),
        of: Built::Wire("w1".parse().expect("an id")),
        step: Step::Cut,
        outcome: Outcome::Done,
        at: "2026-03-01T09:30:00Z".parse().expect("a time"),
        who: "anna".to_owned(),
        note: String::new(),
        rested_on: Vec::new(),
        redo: None,
    };
    entry(EntryKind::Progress, n, Change::make(step))
}

fn look(path: &Path) -> Result<(), StoreError> {
    let opened = Store::open_read_only(path)?;
    say(&format!("steps {}", opened.book.all::<StepDone>().len()));
    opened.store.close()
}

fn entry(kind: EntryKind, n: u128, change: Change) -> Entry {
    Entry {
        schema: ENTRY_SCHEMA,
        id: Id::from_bits(1 << 64 | n),
        at: "2026-03-01T09:30:00Z".parse().expect("a time"),
        who: "anna".to_owned(),
        kind,
        title: format!("tick {n}"),
        why: String::new(),
        of: None,
        revision: None,
        merged: None,
        changes: vec![change],
    }
}

/// One line in one write, so that nobody sees half of it.
fn say(line: &str) {
    let mut out = io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes())
        .expect("somebody reads");
    out.flush().expect("somebody reads");
}
