//! `crimpbook demo`: the invented vehicle's workbook, made where told, and opened.

use std::{path::Path, process::ExitCode};

use crimpbook_store::Store;

use super::{Outcome, new::named_well, open, say, typed};
use crate::cli::Common;

/// Where it is made unless somebody says otherwise.
pub const FILE: &str = "marrowby-pipit.crimpbook";

/// Makes the demo workbook unless it is there, then opens it where there is a terminal.
pub fn run(file: &Path, common: &Common) -> Outcome {
    named_well(file)?;
    let there = file.exists();
    if !there {
        let made = Store::create(file, &crimpbook_record::demo::entries()?)?;
        made.store.close()?;
    }
    if open::has_terminal() {
        return open::run(file, common);
    }
    if there {
        Store::open_read_only(file)?;
    }
    let what = if there {
        "is there already and was left as it is"
    } else {
        "was made"
    };
    say(&format!(
        "{} {what}. There is no terminal here to open it on; try: crimpbook check {}",
        file.display(),
        typed(file)
    ))?;
    Ok(ExitCode::SUCCESS)
}
