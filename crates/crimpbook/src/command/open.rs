//! `crimpbook FILE`: opens a workbook on the screen.

use std::{
    io::{self, IsTerminal},
    path::Path,
    process::ExitCode,
};

use chrono::{DateTime, Local, TimeDelta, Utc};
use crimpbook_store::{Aside, Store};
use crimpbook_workbook::log::EntryHead;

use super::Outcome;
use crate::{
    cli::Common,
    report::Report,
    screen::{self, effect::Msg, theme::Look},
    session::{File, Session},
    who,
};

/// Opens the screens on a workbook.
pub fn run(file: &Path, common: &Common) -> Outcome {
    if !has_terminal() {
        // A file that cannot be opened anywhere is the greater trouble.
        Store::open_read_only(file)?;
        return Err(Report::user(format!(
            "{} opens on a terminal, and there is none here",
            file.display()
        ))
        .hint("without one use: crimpbook check, record, export or log"));
    }
    let opened = Store::open(file)?;
    let aside = opened.store.aside();
    let behind = clock_behind(&opened.heads, who::now());
    let mut session = Session::new(
        Box::new(File::new(opened.store)),
        opened.book,
        opened.heads,
        who::name(common.who.as_deref()),
        who::seed()?,
        who::now,
    );
    let aside = move || read_through(&aside).or(behind.map(Msg::Aside));
    screen::open(&mut session, who::seed()?, look(common), aside)
        .map_err(|e| Report::file(format!("the terminal cannot be used: {e}")))?;
    Ok(ExitCode::SUCCESS)
}

/// Reads the file through, and keeps the day's copy of one that is whole.
fn read_through(aside: &Aside) -> Option<Msg> {
    if let Err(error) = aside.verify() {
        return Some(Msg::Altered(error.sentence));
    }
    let today = Local::now().format("%Y-%m-%d").to_string();
    let error = aside.keep_copy(&today).err()?;
    Some(Msg::Aside(format!("no copy was kept today: {}", error.sentence)))
}

/// What there is to say where the last entry is later than this machine's clock: a clock that was set back, or that of another laptop.
/// The log's order is that of its entries; only their dates would mislead.
fn clock_behind(heads: &[EntryHead], now: DateTime<Utc>) -> Option<String> {
    let last = heads.last().filter(|last| last.at > now + CLOCKS_APART)?;
    Some(format!(
        "the last entry was made on {}, this machine's clock says {}: set the clock, or the log's dates mislead",
        last.at.with_timezone(&Local).format("%Y-%m-%d %H:%M"),
        now.with_timezone(&Local).format("%Y-%m-%d %H:%M")
    ))
}

/// How far the clocks of two laptops may be apart without a word.
const CLOCKS_APART: TimeDelta = TimeDelta::minutes(5);

/// Nothing was typed but the program's name.
pub fn without_file() -> Outcome {
    Err(Report::user("name the workbook to open").hint(
        "crimpbook demo shows the invented demo vehicle; crimpbook new van.crimpbook starts one; crimpbook --help tells the rest",
    ))
}

/// Whether there is a terminal to draw on and to read keys from.
pub fn has_terminal() -> bool {
    io::stdout().is_terminal() && io::stdin().is_terminal()
}

/// Colours as the environment asks for them; see no-color's convention: any non-empty value.
fn look(common: &Common) -> Look {
    let set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    Look {
        colour: !set("NO_COLOR") && !dumb,
        ascii: common.ascii || set("CRIMPBOOK_ASCII"),
        ..Look::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crimpbook_workbook::{log::EntryKind, model::Id};

    fn made(at: &str) -> [EntryHead; 1] {
        [EntryHead {
            seq: 1,
            id: Id::from_bits(1),
            at: at.parse().unwrap(),
            who: "A.".to_owned(),
            kind: EntryKind::Creation,
            title: String::new(),
            why: String::new(),
            of: None,
            revision: None,
        }]
    }

    #[test]
    fn a_clock_that_was_set_back_is_said_and_one_a_little_apart_is_not() {
        let now: DateTime<Utc> = "2026-03-01T12:00:00Z".parse().unwrap();
        let behind = |at| clock_behind(&made(at), now);
        assert_eq!(behind("2026-03-01T11:00:00Z"), None);
        assert_eq!(behind("2026-03-01T12:04:00Z"), None);
        let said = behind("2026-03-02T12:00:00Z").unwrap();
        assert!(said.contains("set the clock"), "{said}");
        assert_eq!(clock_behind(&[], now), None);
    }
}
