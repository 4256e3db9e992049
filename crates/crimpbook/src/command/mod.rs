//! The verbs, one file each.

mod check;
mod colours;
mod compare;
mod demo;
mod export;
mod import;
mod input;
mod keys;
mod list;
mod log;
mod merge;
mod new;
mod open;
mod part;
mod questions;
mod reckon;
mod record;
mod restore;
mod rules;
mod salvage;
mod schema;
mod settings;
mod suppose;
mod suspects;
mod tick;
mod tries;
mod verify;
mod volts;

use std::{path::Path, process::ExitCode};

use crimpbook_store::{Opened, Store};
use crimpbook_workbook::{
    log::{EntryHead, EntryKind},
    merge::Keeps,
};

use crate::{
    cli::{Cli, Verb},
    report::Report,
};

pub use demo::FILE as DEMO_FILE;

/// What a verb gives: an exit code, or an error to show.
pub type Outcome = Result<ExitCode, Report>;

/// Does what was typed.
pub fn run(cli: Cli) -> Outcome {
    let common = &cli.common;
    match cli.verb {
        None => match cli.file {
            Some(file) => open::run(&file, common),
            None => open::without_file(common),
        },
        Some(Verb::Demo { file }) => demo::run(&file, common),
        Some(Verb::New { file, from, vehicle }) => {
            new::run(&file, from.as_deref(), vehicle.as_deref(), common)
        }
        Some(Verb::Check {
            file,
            json,
            notes,
            explain,
        }) => match (explain, file) {
            (Some(name), _) if name.is_empty() => check::explain_all(),
            (Some(name), _) => check::explain(&name),
            (None, Some(file)) => check::run(&file, json, notes),
            // clap asks for the one or the other.
            (None, None) => Err(Report::user("name the workbook to check")),
        },
        Some(Verb::Questions { file, json }) => questions::run(&file, json),
        Some(Verb::Volts {
            file,
            state,
            fault,
            json,
        }) => volts::run(&file, state.as_deref(), fault.as_deref(), json),
        Some(Verb::Suppose { file, what }) => suppose::run(&file, &what),
        Some(Verb::Suspects { file, args }) => suspects::run(&file, &args),
        Some(Verb::Try { file, args }) => tries::run(&file, &args, common),
        Some(Verb::Rules { file, json }) => rules::run(&file, json),
        Some(Verb::Record { file, out }) => record::run(&file, &out),
        Some(Verb::Export {
            file,
            form,
            state,
            fault,
            out,
        }) => export::run(
            &file,
            &form,
            state.as_deref().map(|state| (state, fault.as_deref())),
            out.as_deref(),
        ),
        Some(Verb::Import { file, args }) => import::run(&file, &args, common),
        Some(Verb::Part(verb)) => part::run(verb, common),
        Some(Verb::Compare {
            file,
            from,
            to,
            with,
            html,
        }) => match with {
            Some(other) => compare::with(&file, &other, html.as_deref()),
            None => compare::points(&file, from.as_deref(), to.as_deref(), html.as_deref()),
        },
        Some(Verb::Settings { file, left, past }) => settings::run(&file, left.as_deref(), past.as_deref()),
        Some(Verb::Log { file, all, verify }) => log::run(&file, all, verify),
        Some(Verb::Verify { file }) => verify::run(&file),
        Some(Verb::Restore { file, copy }) => restore::run(&file, copy.as_deref()),
        Some(Verb::Salvage { file, new }) => salvage::run(&file, &new, common),
        Some(Verb::List {
            file,
            what,
            connector,
            width,
            waste,
            csv,
        }) => list::run(
            &file,
            what,
            connector.as_deref(),
            &list::Form { width, waste, csv },
        ),
        Some(Verb::Colours {
            file,
            take,
            waste,
            csv,
            why,
        }) => match take {
            true => colours::take(&file, waste, why, common),
            false => colours::run(&file, colours::Form { waste, csv }),
        },
        Some(Verb::Tick {
            file,
            connector,
            step,
            cavities,
        }) => tick::run(&file, &connector, &step, &cavities, common),
        Some(Verb::Merge {
            file,
            other,
            screen: true,
            ..
        }) => open::with(&file, Some(&other), common),
        Some(Verb::Merge {
            file,
            other,
            mine,
            theirs,
            dry_run,
            ..
        }) => merge::run(
            &file,
            &other,
            &[(Keeps::Mine, &mine), (Keeps::Theirs, &theirs)],
            dry_run,
            common,
        ),
        Some(Verb::Reckon {
            name,
            typed,
            from,
            at,
        }) => reckon::run(name.as_deref(), &typed, from.as_deref(), at.as_deref()),
        Some(Verb::Keys) => keys::run(),
        Some(Verb::Schema) => schema::run(),
    }
}

/// Opens a workbook to tell of it. Nothing is told of a file whose log or records were altered outside the program.
fn read(file: &Path) -> Result<Opened, Report> {
    let opened = Store::open_read_only(file)?;
    opened.store.verify()?;
    Ok(opened)
}

/// The log's heads, with those that merges brought in before the merge.
fn heads(opened: &Opened) -> Result<Vec<EntryHead>, Report> {
    let mut heads = Vec::new();
    for head in &opened.heads {
        if head.kind == EntryKind::Merge {
            let entry = opened.store.entry(head.seq)?;
            heads.extend(entry.merged.iter().flat_map(|merged| merged.heads(head.seq)));
        }
        heads.push(head.clone());
    }
    Ok(heads)
}

/// A path as it is typed: in quotes where a shell would take it apart.
fn typed(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/._-+,:@%=".contains(c);
    if text.chars().all(plain) {
        return text;
    }
    format!("'{}'", text.replace('\'', r"'\''"))
}

/// Widest line of a page for people.
const WIDTH: usize = 110;

/// Text behind a head, in lines of at most [`WIDTH`] characters that hang under its first word.
fn wrapped(head: &str, text: &str) -> String {
    let hang = head.chars().count();
    let mut page = head.to_owned();
    let mut column = hang;
    for word in text.split_whitespace() {
        let wide = word.chars().count();
        if column > hang && column + 1 + wide > WIDTH {
            page.push('\n');
            page.extend(std::iter::repeat_n(' ', hang));
            column = hang;
        } else if column > hang {
            page.push(' ');
            column += 1;
        }
        page.push_str(word);
        column += wide;
    }
    page
}

/// Prints to standard output; a closed pipe is no error.
fn say(text: &str) -> Result<(), Report> {
    use std::io::{ErrorKind, Write};
    match writeln!(std::io::stdout().lock(), "{text}") {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(Report::file(format!("standard output cannot be written: {e}")))
        }
        _ => Ok(()),
    }
}
