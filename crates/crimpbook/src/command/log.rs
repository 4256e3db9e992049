//! `crimpbook log`: who changed what, when and why.

use std::{path::Path, process::ExitCode};

use chrono::Local;
use crimpbook_workbook::log::{EntryHead, EntryKind};

use super::{Outcome, heads, read, say};
use crate::screen::text::count;

/// Prints the log, oldest first.
pub fn run(file: &Path, all: bool, verify: bool) -> Outcome {
    let opened = read(file)?;
    let heads = heads(&opened)?;
    let shown = heads.iter().filter(|head| all || is_change(head.kind));
    let mut text: Vec<String> = shown.map(line).collect();
    let hidden = heads.len() - text.len();
    if hidden > 0 {
        text.push(format!(
            "({} not shown: build steps, readings and trials; --all shows them)",
            count(hidden, "entry", "entries")
        ));
    }
    if verify {
        let verified = opened.store.verify()?;
        text.push(format!(
            "verified: {} entries and {} records are as they were written; head {}",
            opened.heads.len(),
            verified.records,
            verified.head.hash
        ));
    }
    say(&text.join("\n"))?;
    Ok(ExitCode::SUCCESS)
}

/// Whether an entry changes the plan, and is not a tick, a reading or a trial.
fn is_change(kind: EntryKind) -> bool {
    !matches!(kind, EntryKind::Progress | EntryKind::Reading | EntryKind::Trial)
}

fn line(head: &EntryHead) -> String {
    let mut line = format!(
        "{:>5}  {}  {:<10} {:<8} {}",
        head.seq,
        head.at.with_timezone(&Local).format("%Y-%m-%d %H:%M"),
        head.who,
        head.kind.words(),
        head.title
    );
    if let Some(revision) = &head.revision
        && !head.title.contains(&format!("revision {revision}"))
    {
        line.push_str(&format!(" (revision {revision})"));
    }
    if !head.why.is_empty() {
        line.push_str(&format!("\n{:>44} {}", "why:", head.why));
    }
    line
}
