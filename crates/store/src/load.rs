//! The whole workbook into memory.

use std::{path::Path, thread};

use rusqlite::{Connection, Row};
use serde::{Deserialize, de::IntoDeserializer};

use crimpbook_workbook::{
    Book,
    log::{EntryHead, EntryKind, Hash},
    model::{Kind, Record, Tables},
};

use crate::{connect, error::Trouble, map};

/// Where the log ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Head {
    /// Place of the last entry; 0: there is none.
    pub seq: u64,
    /// Its hash; all zeros: there is none.
    pub hash: Hash,
}

/// The book, the entries' heads and where the log ends, all of one moment. Bodies of entries are not read.
pub(crate) fn load(db: &Connection) -> Result<(Book, Vec<EntryHead>, Head), Trouble> {
    let moment = db.unchecked_transaction()?;
    let head = head(&moment)?;
    let pages: u32 = moment.query_row("PRAGMA page_count", [], |row| row.get(0))?;
    let (tables, heads) = if pages < LARGE_PAGES {
        (tables(&moment)?, heads(&moment)?)
    } else {
        two_at_once(&moment, head)?
    };
    moment.finish()?;
    let revision = heads.iter().rev().find_map(|head| head.revision.clone());
    Ok((Book::from_tables(tables, revision), heads, head))
}

/// From this size on, in pages of 4 KiB, a second thread pays.
const LARGE_PAGES: u32 = 400;

/// Everything, the cavities on a thread and a connection of their own: they are half of a large workbook.
fn two_at_once(db: &Connection, head: Head) -> Result<(Tables, Vec<EntryHead>), Trouble> {
    thread::scope(|scope| {
        let path = db.path().unwrap_or_default();
        let helper = scope.spawn(move || -> Result<(Head, Tables), Trouble> {
            let db = connect::in_place(Path::new(path))?;
            let moment = db.unchecked_transaction()?;
            Ok((
                self::head(&moment)?,
                tables_of(&moment, |kind| kind == Kind::Cavity)?,
            ))
        });
        let mut tables = tables_of(db, |kind| kind != Kind::Cavity)?;
        let heads = heads(db)?;
        tables.cavities = match helper.join() {
            Ok(Ok((seen, helped))) if seen == head => helped.cavities,
            // It saw a later moment, or failed: what there is to say about that is said on this connection.
            _ => tables_of(db, |kind| kind == Kind::Cavity)?.cavities,
        };
        Ok((tables, heads))
    })
}

/// Every record.
pub(crate) fn tables(db: &Connection) -> Result<Tables, Trouble> {
    tables_of(db, |_| true)
}

/// Every record of some kinds.
fn tables_of(db: &Connection, wanted: impl Fn(Kind) -> bool) -> Result<Tables, Trouble> {
    let mut tables = Tables::default();
    for plan in map::plans().iter().filter(|plan| wanted(plan.kind)) {
        let mut bad = None;
        each_row(db, plan, &mut |record| match record {
            Ok(record) => tables.put(record),
            Err(trouble) => bad = bad.take().or(Some(trouble)),
        })?;
        if let Some(trouble) = bad {
            return Err(trouble);
        }
    }
    Ok(tables)
}

/// Calls `see` for every row of a kind's table, with what is wrong where it cannot be understood.
///
/// # Errors
/// The table cannot be read, or not to its end.
pub(crate) fn each_row(
    db: &Connection,
    plan: &map::Plan,
    see: &mut dyn FnMut(Result<Record, Trouble>),
) -> Result<(), Trouble> {
    let lists = map::list_rows(db, plan, None)?;
    let mut statement = db.prepare_cached(&plan.select)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        see(understood(plan, row, &lists));
    }
    Ok(())
}

/// The record of a kind with this id, if there is one.
pub(crate) fn record(db: &Connection, plan: &map::Plan, id: &str) -> Result<Option<Record>, Trouble> {
    let mut statement = db.prepare_cached(&plan.select_one)?;
    let mut rows = statement.query([id])?;
    match rows.next()? {
        None => Ok(None),
        Some(row) => {
            let lists = map::list_rows(db, plan, Some(id))?;
            understood(plan, row, &lists).map(Some)
        }
    }
}

fn understood(plan: &map::Plan, row: &Row<'_>, lists: &[map::ListRows]) -> Result<Record, Trouble> {
    map::record(plan, row, lists).map_err(|problem| Trouble::Row {
        place: format!(
            "row {} of table {}",
            row.get::<_, String>(0).unwrap_or_default(),
            plan.kind.name()
        ),
        problem: problem.to_string(),
    })
}

/// The entries without their records, in order.
pub(crate) fn heads(db: &Connection) -> Result<Vec<EntryHead>, Trouble> {
    heads_by(db, "ORDER BY seq")
}

/// Some entries without their records, as the rest of the SQL says.
pub(crate) fn heads_by(db: &Connection, which: &str) -> Result<Vec<EntryHead>, Trouble> {
    let sql = format!("SELECT seq, id, at, who, kind, title, why, of, revision FROM log {which}");
    let mut statement = db.prepare_cached(&sql)?;
    let mut rows = statement.query([])?;
    let mut heads = Vec::new();
    while let Some(row) = rows.next()? {
        heads.push(entry_head(row).map_err(|problem| Trouble::Row {
            place: format!("entry {} of the log", row.get::<_, i64>(0).unwrap_or_default()),
            problem,
        })?);
    }
    Ok(heads)
}

fn entry_head(row: &Row<'_>) -> Result<EntryHead, String> {
    let text = |column| row.get::<_, String>(column).map_err(|e| e.to_string());
    let maybe = |column| row.get::<_, Option<String>>(column).map_err(|e| e.to_string());
    let at = text(2)?;
    let kind: serde::de::value::StringDeserializer<serde::de::value::Error> = text(4)?.into_deserializer();
    Ok(EntryHead {
        seq: row.get(0).map_err(|e| e.to_string())?,
        id: text(1)?.parse().map_err(|e| format!("{e}"))?,
        at: at.parse().map_err(|e| format!("{at}: {e}"))?,
        who: text(3)?,
        kind: EntryKind::deserialize(kind).map_err(|e| e.to_string())?,
        title: text(5)?,
        why: text(6)?,
        of: maybe(7)?
            .map(|id| id.parse())
            .transpose()
            .map_err(|e| format!("{e}"))?,
        revision: maybe(8)?,
    })
}

/// Where the log ends.
pub(crate) fn head(db: &Connection) -> Result<Head, Trouble> {
    let mut statement = db.prepare_cached("SELECT seq, hash FROM log ORDER BY seq DESC LIMIT 1")?;
    let mut rows = statement.query([])?;
    let Some(row) = rows.next()? else {
        return Ok(Head::default());
    };
    let text: String = row.get(1)?;
    Ok(Head {
        seq: row.get(0)?,
        hash: Hash::parse(&text)
            .ok_or_else(|| Trouble::Damaged("the hash at the end of the log cannot be read".to_owned()))?,
    })
}
