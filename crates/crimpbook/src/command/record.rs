//! `crimpbook record`: the build record, one HTML file to print and CSV of every table.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_record::{
    files::{record_files, write_all},
    html::RecordInput,
};
use crimpbook_workbook::{analysis::Snapshot, check};

use super::{Outcome, read, say};
use crate::who;

/// Writes the record into a folder.
pub fn run(file: &Path, out: &Path) -> Outcome {
    let opened = read(file)?;
    let heads = super::heads(&opened)?;
    let head = opened.store.head();
    let snapshot = Snapshot::new(Arc::new(opened.book));
    let report = check::run(&snapshot);
    let files = record_files(&RecordInput {
        snapshot: &snapshot,
        heads: &heads,
        head: head.hash,
        report: &report,
        made_at: who::now(),
        program: concat!("Crimpbook ", env!("CARGO_PKG_VERSION")),
    });
    write_all(out, &files)?;
    say(&format!(
        "Wrote {} and {} tables beside it. Print it from a browser; a PDF is that print saved to a file.",
        out.join("record.html").display(),
        files.len() - 1
    ))?;
    Ok(ExitCode::SUCCESS)
}
