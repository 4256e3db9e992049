//! `crimpbook verify`: is a workbook as it was written?

use std::{path::Path, process::ExitCode};

use crimpbook_store::Store;

use super::{Outcome, say};

/// Reads the file through and says what holds.
pub fn run(file: &Path) -> Outcome {
    let opened = Store::open_read_only(file)?;
    let verified = opened.store.verify()?;
    say(&format!(
        "{} is as it was written: every page and reference holds, {} entries follow from each other, and the {} records \
         follow from them\nhead {}",
        file.display(),
        verified.head.seq,
        verified.records,
        verified.head.hash
    ))?;
    Ok(ExitCode::SUCCESS)
}
