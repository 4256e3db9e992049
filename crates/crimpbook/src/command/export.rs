//! `crimpbook export`: the whole workbook as JSON, or its tables as CSV.

use std::{fs, path::Path, process::ExitCode};

use crimpbook_record::{csv, json};
use crimpbook_store::Store;
use crimpbook_workbook::log::Entry;

use super::{Outcome, say};
use crate::{cli::ExportForm, report::Report};

/// Writes the export.
pub fn run(file: &Path, form: &ExportForm, out: Option<&Path>) -> Outcome {
    let opened = Store::open_read_only(file)?;
    if form.json {
        let entries = (1..=opened.heads.len() as u64)
            .map(|seq| opened.store.entry(seq))
            .collect::<Result<Vec<Entry>, _>>()?;
        let text = json::write(&opened.book, &entries);
        match out {
            None => say(text.trim_end())?,
            Some(path) => crimpbook_record::write_file(path, text.as_bytes())?,
        }
    } else {
        let Some(folder) = out else {
            return Err(Report::user("CSV is one file a table: name the folder to write them into").hint("add: -o DIR"));
        };
        fs::create_dir_all(folder)
            .map_err(|e| Report::file(format!("{} cannot be made: {e}", folder.display())))?;
        for (name, bytes) in csv::tables(&opened.book, &opened.heads) {
            crimpbook_record::write_file(&folder.join(name), &bytes)?;
        }
    }
    if let Some(path) = out {
        say(&format!("Wrote {}", path.display()))?;
    }
    Ok(ExitCode::SUCCESS)
}
