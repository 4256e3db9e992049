//! Two copies of one workbook, read whole: what a merge is laid out from.

use std::path::Path;

use crimpbook_store::{Store, StoreError};
use crimpbook_workbook::{
    Book,
    log::{Entry, Hash},
    merge::Side,
};

/// A log whole.
#[derive(Debug, Clone, Default)]
pub struct WholeLog {
    /// Each entry with the text that was hashed, oldest first.
    pub entries: Vec<(Entry, String)>,
    /// Where it ends.
    pub head: Hash,
}

impl WholeLog {
    /// A copy: these records, and this log of them.
    pub fn side<'a>(&'a self, book: &'a Book) -> Side<'a> {
        Side {
            book,
            log: &self.entries,
            head: self.head,
        }
    }
}

/// Another copy beside this one's log.
#[derive(Debug, Clone, Default)]
pub struct Copies {
    /// The log of the workbook that is open.
    pub mine: WholeLog,
    /// The other copy's records.
    pub book: Book,
    /// The other copy's log.
    pub theirs: WholeLog,
}

/// The log of an open file, once it was read through and found whole.
///
/// # Errors
/// It is not whole, or cannot be read.
pub fn whole_log(store: &Store) -> Result<WholeLog, StoreError> {
    let head = store.verify()?.head.hash;
    let entries = store.log()?;
    Ok(WholeLog { entries, head })
}

/// Another copy, read without leaving a trace beside it.
///
/// # Errors
/// It is no workbook, is not whole, or cannot be read.
pub fn read_copy(path: &Path) -> Result<(Book, WholeLog), StoreError> {
    let opened = Store::open_read_only(path)?;
    let log = whole_log(&opened.store)?;
    Ok((opened.book, log))
}
