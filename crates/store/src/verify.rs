//! Years later: is the log what was written, and do the records follow from it?

use rusqlite::Connection;

use crimpbook_workbook::{
    log::{Hash, link},
    model::{Kind, Record, Tables},
};

use crate::{
    Head, Store,
    error::{StoreError, Trouble},
    load, migrate, replay,
};

/// What was verified.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Verified {
    /// Where the log ends; its hash stands for the whole workbook.
    pub head: Head,
    /// How many records follow from it.
    pub records: usize,
}

impl Store {
    /// Verifies the file: SQLite's own look over it, every reference, the chain of hashes, and that the records are those which
    /// follow from the log.
    ///
    /// # Errors
    /// Says what does not verify.
    pub fn verify(&self) -> Result<Verified, StoreError> {
        verify(&self.db).map_err(|e| e.at(&self.path, "verifying it"))
    }
}

pub(crate) fn verify(db: &Connection) -> Result<Verified, Trouble> {
    let moment = db.unchecked_transaction()?;
    let found: String = moment.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    if found != "ok" {
        return Err(Trouble::Damaged(found));
    }
    migrate::references(&moment)?;
    let (head, replayed) = chain(&moment)?;
    let tables = load::tables(&moment)?;
    same(&replayed, &tables)?;
    places(&tables)?;
    moment.finish()?;
    Ok(Verified {
        head,
        records: tables.len(),
    })
}

/// Walks the log: every hash follows, every entry follows, every list column repeats its entry.
fn chain(db: &Connection) -> Result<(Head, Tables), Trouble> {
    let mut head = Head::default();
    let mut tables = Tables::default();
    let heads = load::heads(db)?;
    let mut statement = db.prepare("SELECT body, hash FROM log ORDER BY seq")?;
    let mut rows = statement.query([])?;
    let mut listed = heads.iter();
    while let Some(row) = rows.next()? {
        let seq = head.seq + 1;
        let altered = |what: &str| {
            Err(Trouble::Damaged(format!(
                "entry {seq} of its log {what}: it or one before it was altered outside the program"
            )))
        };
        // The first entry of a large book is long.
        let body = row.get_ref(0)?.as_str().map_err(rusqlite::Error::from)?;
        let stored: String = row.get(1)?;
        let hash = link(head.hash, body);
        if Hash::parse(&stored) != Some(hash) {
            return altered("does not verify");
        }
        let entry = replay::entry(seq, body)?;
        if listed.next() != Some(&entry.head(seq)) {
            return altered("is not what the list of entries says");
        }
        replay::apply(&mut tables, seq, entry)?;
        head = Head { seq, hash };
    }
    Ok((head, tables))
}

/// The records are those that follow from the log.
fn same(replayed: &Tables, tables: &Tables) -> Result<(), Trouble> {
    if replayed == tables {
        return Ok(());
    }
    let mut first = None;
    let mut differs = |record: Record, other: &Tables| {
        if first.is_none() && other.get(record.key()).as_ref() != Some(&record) {
            first = Some(record);
        }
    };
    tables.each(&mut |record| differs(record, replayed));
    replayed.each(&mut |record| differs(record, tables));
    Err(Trouble::Damaged(match first {
        None => "its records do not follow from its log".to_owned(),
        Some(record) => format!(
            "the {} {} {} does not follow from its log: it was altered outside the program",
            record.key().kind.title(),
            record.key().id,
            record.label()
        ),
    }))
}

/// What no foreign key can check: places of accepted findings, and what files are about.
fn places(tables: &Tables) -> Result<(), Trouble> {
    let mut broken = None;
    tables.each(&mut |record| {
        if matches!(record.key().kind, Kind::Acceptance | Kind::FileNote) {
            record.refs(&mut |named| {
                if !tables.has(named.key) {
                    broken = Some((record.key().kind, named.key));
                }
            });
        }
    });
    match broken {
        None => Ok(()),
        Some((by, key)) => Err(Trouble::Damaged(format!(
            "a record of kind {} names the {} {}, which is not there",
            by.title(),
            key.kind.title(),
            key.id
        ))),
    }
}
