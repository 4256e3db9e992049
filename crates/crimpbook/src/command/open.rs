//! `crimpbook FILE`: opens a workbook on the screen.

use std::{
    io::{self, IsTerminal},
    path::Path,
    process::ExitCode,
};

use super::Outcome;
use crate::{cli::Common, report::Report, screen, who};

/// Opens the screens on a workbook.
pub fn run(file: &Path, common: &Common) -> Outcome {
    if !has_terminal() {
        return Err(Report::user(format!("{} opens on a terminal, and there is none here", file.display()))
            .hint("without one use: crimpbook check, record, export or log"));
    }
    screen::open(file, &who::name(common.who.as_deref()), common.ascii)?;
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
