//! `crimpbook colours`: colours from the drums in stock for wires that have none.

use std::{path::Path, process::ExitCode};

use crimpbook_record::lists;
use crimpbook_store::Store;
use crimpbook_workbook::{
    model::{Drum, Wire},
    plan,
    signals::Signals,
};

use super::{Outcome, import::not_kept, read, say};
use crate::{
    cli::Common,
    report::Report,
    screen::text::count,
    session::{File, Session},
    who,
};

/// How to propose.
#[derive(Debug, Clone, Copy)]
pub struct Form {
    /// Waste, percent.
    pub waste: f64,
    /// As CSV.
    pub csv: bool,
}

/// Prints what is proposed.
pub fn run(file: &Path, form: Form) -> Outcome {
    let waste = share(form.waste)?;
    let book = read(file)?.book;
    let proposals = plan::propose(&book, &Signals::of(&book), waste);
    let sheet = lists::colours(&book, &proposals);
    if form.csv {
        say(String::from_utf8_lossy(&sheet.bytes()).trim_end())?;
        return Ok(ExitCode::SUCCESS);
    }
    if proposals.is_empty() {
        say(match book.all::<Wire>().is_empty() {
            true => "there is no wire yet",
            false => "every wire has a colour",
        })?;
        return Ok(ExitCode::SUCCESS);
    }
    say(&sheet.lines().join("\n"))?;
    if book.all::<Drum>().is_empty() {
        say("No drum of wire is entered: Parts (g p), drums of wire, a.")?;
    }
    Ok(ExitCode::SUCCESS)
}

/// Gives the wires what is proposed.
pub fn take(file: &Path, waste: f64, why: Option<String>, common: &Common) -> Outcome {
    let waste = share(waste)?;
    let opened = Store::open(file)?;
    opened.store.verify()?;
    let book = &opened.book;
    let proposals = plan::propose(book, &Signals::of(book), waste);
    let Some(edit) = plan::take_colours(book, &proposals) else {
        return Err(
            Report::user("no colour is proposed for any wire; nothing was changed")
                .hint("without --take it is told what stands against each"),
        );
    };
    let without = proposals.len() - edit.changes.len();
    let author = who::name(common.who.as_deref());
    let keep = Box::new(File::new(opened.store));
    let mut session = Session::new(keep, opened.book, opened.heads, author, who::seed()?, who::now);
    let kept = session
        .edit(edit.because(why.unwrap_or_default()))
        .map_err(not_kept)?;
    let mut told = format!("taken as entry {}: {}", kept.head.seq, kept.head.title);
    if without > 0 {
        told.push_str(&format!("; {} without one", count(without, "wire", "wires")));
    }
    say(&told)?;
    Ok(ExitCode::SUCCESS)
}

fn share(percent: f64) -> Result<f64, Report> {
    if (0.0..=200.0).contains(&percent) {
        Ok(percent / 100.0)
    } else {
        Err(Report::user("the waste is a share of 0 to 200 percent"))
    }
}
