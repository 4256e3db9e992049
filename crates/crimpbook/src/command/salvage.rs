//! `crimpbook salvage`: what can still be read of a damaged workbook, as a new one.

use std::{collections::HashSet, path::Path, process::ExitCode};

use crimpbook_store::{Salvaged, Store};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Refusal},
    log::{Entry, EntryKind},
    model::{IdMaker, Key, Record},
};

use super::{Outcome, new, say, typed};
use crate::{cli::Common, report::Report, screen::text::count, who};

/// How often what was refused is tried again after something else went in.
const ROUNDS: usize = 8;

/// How often those are taken out that lead to nothing without what was taken out before.
const SIFTED: usize = 32;

/// Makes `to` out of what can be read of `file`.
pub fn run(file: &Path, to: &Path, common: &Common) -> Outcome {
    new::named_well(to)?;
    let saved = crimpbook_store::salvage(file)?;
    let mut rows = Rows {
        book: Book::default(),
        ids: IdMaker::new(who::seed()?),
        author: who::name(common.who.as_deref()),
        title: format!("salvage rows of {}", file.display()),
        entries: Vec::new(),
    };
    for entry in &saved.entries {
        rows.book.apply(entry)?;
    }
    let removed = saved.removed.iter().map(|key| (*key, None));
    let made = saved.rows.iter().map(|row| (row.key(), Some(row.clone())));
    let mut waiting: Vec<Told> = made.chain(removed).collect();
    for _ in 0..ROUNDS {
        let before = waiting.len();
        if before > 0 {
            waiting = rows.take(waiting);
        }
        if waiting.len() == before {
            break;
        }
    }
    let told = tell(file, to, &saved, waiting.len());
    let mut entries = saved.entries;
    entries.append(&mut rows.entries);
    if entries.is_empty() {
        return Err(Report::file(format!(
            "{}: nothing that can be read of it stands by itself; nothing was made",
            file.display()
        )));
    }
    Store::create(to, &entries)?.store.close()?;
    say(&told)?;
    Ok(ExitCode::SUCCESS)
}

/// How it stands with a record; none: it was removed.
type Told = (Key, Option<Record>);

/// Rows on their way through the door.
struct Rows {
    book: Book,
    ids: IdMaker,
    author: String,
    title: String,
    entries: Vec<Entry>,
}

impl Rows {
    /// Puts records in, as many at once as the door takes; gives back those it refuses.
    fn take(&mut self, rows: Vec<Told>) -> Vec<Told> {
        let (mut rows, mut out) = (rows, Vec::new());
        for _ in 0..SIFTED {
            let against = self.book.refusals(&self.edit(&rows));
            let keys: HashSet<Key> = against.into_iter().filter_map(Refusal::key).collect();
            let (wrong, well) = rows.into_iter().partition(|(key, _)| keys.contains(key));
            rows = well;
            if wrong.is_empty() {
                break;
            }
            out.extend(wrong);
        }
        out.extend(self.halve(rows));
        out
    }

    fn edit(&self, rows: &[Told]) -> Edit {
        let changes = rows.iter().map(|(key, record)| Change {
            before: self.book.tables().get(*key),
            after: record.clone(),
        });
        Edit {
            why: "the file was damaged".to_owned(),
            ..Edit::new(EntryKind::Import, self.title.clone(), changes.collect())
        }
    }

    /// Puts in what nothing is known against; what the door has against them all the same it says of one at a time.
    fn halve(&mut self, rows: Vec<Told>) -> Vec<Told> {
        if rows.is_empty() {
            return rows;
        }
        let edit = self.edit(&rows);
        let stamp = who::stamp(&mut self.ids, &self.author);
        if let Ok(entry) = self.book.prepare(edit, stamp)
            && self.book.apply(&entry).is_ok()
        {
            self.entries.push(entry);
            return Vec::new();
        }
        if rows.len() < 2 {
            return rows;
        }
        let mut first = rows;
        let second = first.split_off(first.len() / 2);
        let mut refused = self.halve(first);
        refused.extend(self.halve(second));
        refused
    }
}

fn tell(file: &Path, to: &Path, saved: &Salvaged, refused: usize) -> String {
    let taken = saved.rows.len() + saved.removed.len() - refused;
    let mut page = vec![format!(
        "Made {} out of {}, which stays as it is: {} of its log and {} beyond them.",
        to.display(),
        file.display(),
        count(saved.entries.len(), "entry", "entries"),
        count(taken, "record", "records"),
    )];
    if let Some(why) = &saved.log_ends {
        page.push(format!("  Its log ends early: {why}."));
    }
    page.extend(saved.lost.iter().map(|what| format!("  Not read: {what}.")));
    if refused > 0 {
        page.push(format!(
            "  Left out, since what they refer to is not there: {}.",
            count(refused, "record", "records")
        ));
    }
    if saved.log_ends.is_none() && saved.lost.is_empty() {
        page.push("Its log is there whole, and every record follows from it: nothing is lost.".to_owned());
        return page.join("\n");
    }
    page.push(format!(
        "What was removed or changed after its log ends may have come back: look through it before you build from it, with crimpbook {}",
        typed(to)
    ));
    page.join("\n")
}
