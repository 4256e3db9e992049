//! What can still be read of a damaged file: by SQLite, and where that gives less than is there, page by page.

mod cells;
mod chain;
mod pages;
mod tables;
#[cfg(test)]
mod tests;
mod trees;

use std::{fs, path::Path};

use rusqlite::Connection;

use crimpbook_workbook::{
    log::{Entry, Hash, link},
    model::{Key, Record, Tables},
};

use crate::{
    Cause, Head, connect,
    error::{StoreError, Trouble},
    load, look, map, migrate, replay,
    schema::STEPS,
};

use pages::Pages;

/// What was read of a damaged file. The file itself stays as it is.
#[derive(Debug, Default)]
pub struct Salvaged {
    /// The entries of the log that verify, from the first one on.
    pub entries: Vec<Entry>,
    /// Why the log could not be read further; none: all of it was.
    pub log_ends: Option<String>,
    /// Records as their rows or later entries tell that differ from what the entries give.
    pub rows: Vec<Record>,
    /// Records that the entries give and that were removed after them.
    pub removed: Vec<Key>,
    /// What could not be read, a line each: a table, or rows of one.
    pub lost: Vec<String>,
}

/// Reads what can be read of the file at `path`, from a copy in a scratch folder.
///
/// # Errors
/// It is no workbook, it is newer than this program, or nothing at all can be read.
pub fn salvage(path: &Path) -> Result<Salvaged, StoreError> {
    let read = by_sqlite(path);
    let page_by_page = match &read {
        Ok((saved, sound)) => !sound || saved.log_ends.is_some(),
        Err(error) => matches!(error.cause, Cause::Damaged | Cause::NotAWorkbook | Cause::Other),
    };
    let found = if page_by_page { by_pages(path) } else { None };
    match (read, found) {
        (Ok((saved, sound)), Some(found)) if found.tells_more_than(&saved, sound) => Ok(found),
        (Ok((saved, _)), _) => Ok(saved),
        (Err(_), Some(found)) => Ok(found),
        (Err(error), None) => Err(error.beyond_salvage()),
    }
}

impl Salvaged {
    fn is_empty(&self) -> bool {
        self.entries.is_empty() && self.rows.is_empty()
    }

    /// Whether this is to be preferred to what SQLite gave, of a file that it finds `sound` or not.
    fn tells_more_than(&self, other: &Self, sound: bool) -> bool {
        let told = |saved: &Self| saved.rows.len() + saved.removed.len();
        let better = if sound {
            !self.removed.is_empty() || told(self) > told(other)
        } else {
            // It says as well which entries are missing.
            self.log_ends.is_none() || told(self) >= told(other)
        };
        self.entries.len() > other.entries.len() || self.entries.len() == other.entries.len() && better
    }
}

/// What SQLite gives, and whether it finds nothing wrong with the file.
fn by_sqlite(path: &Path) -> Result<(Salvaged, bool), StoreError> {
    let look = look::look(path)?;
    // A number far beyond this program's is a spoilt one.
    let newest = migrate::version_of(STEPS);
    if (newest..newest + 1000).contains(&look.version) {
        look::known_version(path, look.version, newest)?;
    }
    let (db, _scratch) = connect::copied(path)?;
    let sound = connect::check(&db).is_ok();
    // Of an older version only the log can be read, where its tables cannot be brought up to date.
    let current = connect::version(&db).is_ok_and(|v| v == newest) || migrate::steps_up(&db, STEPS).is_ok();
    let mut saved = Salvaged::default();
    let tables = log(&db, &mut saved);
    if current {
        rows(&db, &tables, &mut saved);
    } else {
        saved
            .lost
            .push("its tables could not be brought up to date".to_owned());
    }
    if saved.is_empty() {
        let why = saved.log_ends.unwrap_or_else(|| "it holds nothing".to_owned());
        let nothing = Trouble::Damaged(format!("nothing of it can be read ({why})"));
        return Err(nothing.at(path, "reading what is left of it"));
    }
    if sound && saved.log_ends.is_none() {
        set_aside(&mut saved);
    }
    Ok((saved, sound))
}

/// The log is proven to its end, rows are not: those that say something else do not count.
fn set_aside(saved: &mut Salvaged) {
    let rows = std::mem::take(&mut saved.rows);
    let rows = rows.iter().map(|row| {
        let key = row.key();
        format!(
            "the {} {} as its row has it, which its log contradicts",
            key.kind.title(),
            key.id
        )
    });
    saved.lost.extend(rows);
}

/// What its pages give without SQLite; none: nothing.
fn by_pages(path: &Path) -> Option<Salvaged> {
    let main = fs::read(path).ok()?;
    let wal = fs::read(look::beside(path, "-wal")).unwrap_or_default();
    let saved = of_bytes(main, wal);
    saved.filter(|saved| !saved.is_empty())
}

fn of_bytes(main: Vec<u8>, wal: Vec<u8>) -> Option<Salvaged> {
    let pages = Pages::new(main, wal)?;
    let forest = trees::forest(&pages);
    let mut chain = chain::chain(&forest, pages.len());
    let mut saved = Salvaged {
        log_ends: chain.ends.take(),
        ..Salvaged::default()
    };
    if !chain.whole {
        match tables::fill(forest, &chain, &mut saved.lost) {
            Ok(filled) => {
                rows(&filled.db, &chain.tables, &mut saved);
                chain.settle(&mut saved, &filled);
            }
            Err(trouble) => saved.lost.push(format!("all tables ({})", trouble.what())),
        }
    }
    saved.entries = chain.entries;
    Some(saved)
}

/// The log as far as each entry follows from the one before it; gives the records it makes.
fn log(db: &Connection, saved: &mut Salvaged) -> Tables {
    let mut tables = Tables::default();
    let mut head = Head::default();
    loop {
        match next(db, head, &mut tables) {
            Ok(None) => break,
            Ok(Some((hash, entry))) => {
                head = Head {
                    seq: head.seq + 1,
                    hash,
                };
                saved.entries.push(entry);
            }
            Err(trouble) => {
                saved.log_ends = Some(trouble.what());
                break;
            }
        }
    }
    tables
}

/// The entry after `head`, if it verifies; its records are put into `tables`.
fn next(db: &Connection, head: Head, tables: &mut Tables) -> Result<Option<(Hash, Entry)>, Trouble> {
    let seq = head.seq + 1;
    let mut statement = db.prepare_cached("SELECT body, hash FROM log WHERE seq = ?1")?;
    let mut rows = statement.query([seq])?;
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    let (body, stored): (String, String) = (row.get(0)?, row.get(1)?);
    let hash = link(head.hash, &body);
    if Hash::parse(&stored) != Some(hash) {
        return Err(Trouble::Damaged(format!(
            "entry {seq} of its log does not verify"
        )));
    }
    let entry = replay::entry(seq, &body)?;
    replay::apply(tables, seq, entry.clone())?;
    Ok(Some((hash, entry)))
}

/// Rows that say something else than the log as far as it was read.
fn rows(db: &Connection, tables: &Tables, saved: &mut Salvaged) {
    for plan in map::plans() {
        let title = plan.kind.name();
        let mut spoilt = 0;
        let read = load::each_row(db, plan, &mut |record| match record {
            Ok(record) if tables.get(record.key()).as_ref() == Some(&record) => {}
            Ok(record) => saved.rows.push(record),
            Err(_) => spoilt += 1,
        });
        if spoilt > 0 {
            saved.lost.push(format!("{spoilt} of the rows of table {title}"));
        }
        if let Err(trouble) = read {
            saved
                .lost
                .push(format!("table {title} from some row on ({})", trouble.what()));
        }
    }
}
