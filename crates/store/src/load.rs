//! The whole workbook into memory.

use rusqlite::{Connection, Row};
use serde::{Deserialize, de::IntoDeserializer};

use crimpbook_workbook::{
    Book,
    log::{EntryHead, EntryKind, Hash},
    model::{Record, Tables},
};

use crate::{error::Trouble, map};

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
    let tables = tables(&moment)?;
    let heads = heads(&moment)?;
    let head = head(&moment)?;
    moment.finish()?;
    let revision = heads.iter().rev().find_map(|head| head.revision.clone());
    Ok((Book::from_tables(tables, revision), heads, head))
}

/// Every record.
pub(crate) fn tables(db: &Connection) -> Result<Tables, Trouble> {
    let mut tables = Tables::default();
    for plan in map::plans() {
        let lists = map::list_rows(db, plan, None)?;
        let mut statement = db.prepare_cached(&plan.select)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            tables.put(understood(plan, row, &lists)?);
        }
    }
    Ok(tables)
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
    let mut statement =
        db.prepare_cached("SELECT seq, id, at, who, kind, title, why, of, revision FROM log ORDER BY seq")?;
    let mut rows = statement.query([])?;
    let mut heads = Vec::new();
    while let Some(row) = rows.next()? {
        heads.push(entry_head(row).map_err(|problem| Trouble::Row {
            place: format!("entry {} of the log", heads.len() + 1),
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
