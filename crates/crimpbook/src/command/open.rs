//! `crimpbook FILE`: opens a workbook on the screen.

use std::{
    io::{self, IsTerminal},
    path::Path,
    process::ExitCode,
};

use crimpbook_store::Store;

use super::Outcome;
use crate::{
    cli::Common,
    report::Report,
    screen::{self, theme::Look},
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
    let mut session = Session::new(
        Box::new(File::new(opened.store)),
        opened.book,
        opened.heads,
        who::name(common.who.as_deref()),
        who::seed()?,
        who::now,
    );
    let whole = file.to_owned();
    let read_through = move || {
        // Only what it holds is judged: that it can be opened was seen already.
        let opened = Store::open_read_only(&whole).ok()?;
        opened.store.verify().err().map(|error| error.sentence)
    };
    screen::open(&mut session, who::seed()?, look(common), read_through)
        .map_err(|e| Report::file(format!("the terminal cannot be used: {e}")))?;
    Ok(ExitCode::SUCCESS)
}

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
