//! What can still be read of a damaged file.

use std::path::Path;

use rusqlite::Connection;

use crimpbook_workbook::{
    log::{Entry, Hash, link},
    model::{Record, Tables},
};

use crate::{
    Head, connect,
    error::{StoreError, Trouble},
    load, look, map, migrate, replay,
    schema::STEPS,
};

/// What was read of a damaged file. The file itself stays as it is.
#[derive(Debug, Default)]
pub struct Salvaged {
    /// The entries of the log that verify, from the first one on.
    pub entries: Vec<Entry>,
    /// Why the log could not be read further; none: all of it was.
    pub log_ends: Option<String>,
    /// Records as their rows tell that differ from what the entries give, in order of their kinds.
    pub rows: Vec<Record>,
    /// What could not be read, a line each: a table, or rows of one.
    pub lost: Vec<String>,
}

/// Reads what can be read of the file at `path`, from a copy in a scratch folder.
///
/// # Errors
/// It is no workbook, it is newer than this program, or nothing at all can be read.
pub fn salvage(path: &Path) -> Result<Salvaged, StoreError> {
    let look = look::look(path)?;
    if look.version > migrate::version_of(STEPS) {
        look::known_version(path, look.version, migrate::version_of(STEPS))?;
    }
    let (db, _scratch) = connect::copied(path).map_err(StoreError::beyond_salvage)?;
    let at = |trouble: Trouble| trouble.at(path, "reading what is left of it");
    // Of an older version only the log can be read, where its tables cannot be brought up to date.
    let newest = migrate::version_of(STEPS);
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
    if saved.entries.is_empty() && saved.rows.is_empty() {
        let why = saved.log_ends.unwrap_or_else(|| "it holds nothing".to_owned());
        let nothing = at(Trouble::Damaged(format!("nothing of it can be read ({why})")));
        return Err(nothing.beyond_salvage());
    }
    Ok(saved)
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
    replay::apply(tables, seq, &entry)?;
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
