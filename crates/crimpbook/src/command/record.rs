//! `crimpbook record`: the build record, one HTML file to print and CSV of every table.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_record::{
    files::{record_files, write_all},
    html::RecordInput,
};
use crimpbook_workbook::{analysis::Snapshot, check, model::About, tune::Past};

use super::{Outcome, compare, read, say};
use crate::who;

/// Writes the record into a folder.
pub fn run(file: &Path, out: &Path) -> Outcome {
    let opened = read(file)?;
    let heads = super::heads(&opened)?;
    let since = compare::since_release(&opened)?;
    let mut past = Past::default();
    for (seq, (entry, _)) in (1..).zip(opened.store.log()?) {
        past.take(seq, &entry);
    }
    let head = opened.store.head();
    let snapshot = Snapshot::new(Arc::new(opened.book));
    let report = check::run_proven(&snapshot);
    let mut files = record_files(&RecordInput {
        snapshot: &snapshot,
        heads: &heads,
        head: head.hash,
        report: &report,
        since: since.as_ref().map(|(_, comparison)| comparison),
        past: &past,
        made_at: who::now(),
        program: concat!("Crimpbook ", env!("CARGO_PKG_VERSION")),
    });
    let tables = files
        .iter()
        .filter(|(name, _)| name.starts_with("tables/"))
        .count();
    if let Some((letter, comparison)) = since {
        let vehicle = snapshot
            .book()
            .all::<About>()
            .values()
            .next()
            .map_or("", |about| about.vehicle.as_str());
        let name = format!("changes-since-{}.html", letter.to_lowercase());
        files.push((name, comparison.html(vehicle).into_bytes()));
    }
    write_all(out, &files)?;
    say(&format!(
        "Wrote {} with {} tables and a glovebox sheet beside it. Print it from a browser; a PDF is that print saved to a file.",
        out.join("record.html").display(),
        tables
    ))?;
    Ok(ExitCode::SUCCESS)
}
