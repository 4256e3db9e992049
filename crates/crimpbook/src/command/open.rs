//! `crimpbook FILE`: opens a workbook on the screen.

use std::{
    io::{self, IsTerminal},
    path::{Path, PathBuf},
    process::ExitCode,
};

use chrono::{DateTime, Local, TimeDelta, Utc};
use crimpbook_store::{Aside, Store, said_of_place};
use crimpbook_workbook::{
    book::{InOrder, natural},
    log::EntryHead,
};

use super::Outcome;
use crate::{
    cli::Common,
    memo::Memo,
    report::Report,
    screen::{
        self,
        effect::Msg,
        figures::ago,
        start::{Choice, Start, short},
        theme::Look,
    },
    session::{File, Session},
    who,
};

/// Opens the screens on a workbook.
pub fn run(file: &Path, common: &Common) -> Outcome {
    with(file, None, common)
}

/// Opens the screens on a workbook, to merge another copy with it first if one is named.
pub fn with(file: &Path, other: Option<&Path>, common: &Common) -> Outcome {
    if !has_terminal() {
        // A file that cannot be opened anywhere is the greater trouble.
        Store::open_read_only(file)?;
        return Err(Report::user(format!(
            "{} opens on a terminal, and there is none here",
            file.display()
        ))
        .hint("without one use: crimpbook check, record, export or log"));
    }
    let begun = Store::begin(file)?;
    let glance = begun.glance()?;
    let memo = Memo::read();
    let looks = (look(common, &memo), memo.habits(file), common.mouse);
    let (name, ids) = (who::name(common.who.as_deref()), who::seed()?);
    let path = file.to_owned();
    let read = move || {
        let opened = begun.read()?;
        // Another run may have opened something meanwhile.
        let mut memo = Memo::read();
        memo.opened(&path);
        memo.keep();
        let aside = opened.store.aside();
        let behind = clock_behind(&opened.heads, who::now());
        let kept = Box::new(File::new(opened.store));
        let session = Session::new(kept, opened.book, opened.heads, name, ids, who::now);
        let aside = move || {
            let said = || behind.or_else(|| said_of_place(&path)).map(Msg::Aside);
            read_through(&aside).or_else(said)
        };
        Ok((session, aside))
    };
    let left = file.to_owned();
    let around = screen::Around {
        remember: Box::new(move |habits| {
            // Another run may have opened something meanwhile.
            let mut memo = Memo::read();
            memo.left(&left, habits);
            memo.keep();
        }),
        first: other.map(|other| Msg::MergeWith(other.display().to_string())),
    };
    screen::open(glance, who::seed()?, looks, read, around).map_err(unusable)??;
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

fn unusable(error: io::Error) -> Report {
    Report::file(format!("the terminal cannot be used: {error}"))
}

/// Nothing was typed but the program's name: what there is to begin or to open, on the first screen.
pub fn without_file(common: &Common) -> Outcome {
    if !has_terminal() {
        return Err(Report::user("name the workbook to open").hint(
            "crimpbook demo shows the invented demo vehicle; crimpbook new van.crimpbook starts one; crimpbook --help tells the rest",
        ));
    }
    let memo = Memo::read();
    let mut start = Start::new(here(), before(&memo), look(common, &memo));
    loop {
        let done = match screen::choose(&mut start).map_err(unusable)? {
            Choice::Leave => return Ok(ExitCode::SUCCESS),
            Choice::Open(file) => run(&file, common),
            Choice::Merge { file, other } => with(&file, Some(&other), common),
            Choice::Demo => super::demo::run(Path::new(super::demo::FILE), common),
            Choice::New { vehicle, file } => {
                super::new::make(&file, &vehicle, common).and_then(|()| run(&file, common))
            }
            // The first screen asks for the name itself.
            Choice::Name => continue,
        };
        match done {
            Ok(code) => return Ok(code),
            Err(report) => start.note = Some(report.to_string()),
        }
    }
}

/// Workbooks in the folder, by name, with what stands behind them.
fn here() -> Vec<(PathBuf, String)> {
    let entries = std::fs::read_dir(".").into_iter().flatten().flatten();
    let mut names: Vec<PathBuf> = entries
        .map(|entry| PathBuf::from(entry.file_name()))
        .filter(|path| path.extension().is_some_and(|e| e == "crimpbook") && path.is_file())
        .collect();
    names.order_by(|path| natural(&path.to_string_lossy()));
    names
        .into_iter()
        .map(|path| (path.clone(), changed(&path)))
        .collect()
}

/// Workbooks opened before in other folders, as far as they are still there.
fn before(memo: &Memo) -> Vec<(PathBuf, String)> {
    let folder = std::env::current_dir()
        .and_then(|folder| folder.canonicalize())
        .ok();
    let elsewhere = |path: &&PathBuf| path.parent() != folder.as_deref() && path.is_file();
    let opened = memo.opened.iter().filter(elsewhere);
    let home = std::env::var_os("HOME").map(PathBuf::from);
    let said = |path: &PathBuf| {
        let folder = path
            .parent()
            .map_or_else(String::new, |folder| short(folder, home.as_deref()));
        (path.clone(), format!("in {folder}, {}", changed(path)))
    };
    opened.map(said).collect()
}

/// When a workbook was changed last.
fn changed(path: &Path) -> String {
    let at = std::fs::metadata(path).and_then(|of| of.modified());
    at.map_or_else(
        |_| String::new(),
        |at| format!("changed {}", ago(at.into(), who::now())),
    )
}

/// Whether there is a terminal to draw on and to read keys from.
pub fn has_terminal() -> bool {
    io::stdout().is_terminal() && io::stdin().is_terminal()
}

/// Colours as the environment asks for them; see no-color's convention: any non-empty value.
fn look(common: &Common, memo: &Memo) -> Look {
    let set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    Look {
        colour: !set("NO_COLOR") && !dumb,
        ascii: common.ascii || set("CRIMPBOOK_ASCII"),
        scheme: memo.scheme,
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
