//! A keep in the project's file.

use std::{path::Path, sync::Arc};

use crimpbook_store::{Store, StoreError};
use crimpbook_workbook::{
    Book,
    log::{Entry, EntryHead},
};

use super::{Fresh, Keep, Trouble, WholeLog, copies::whole_log};

/// Entries in the file of the workbook.
#[derive(Debug)]
pub struct File {
    store: Store,
    /// Whether something was written that a copy of the file alone would lack.
    beside: bool,
}

impl File {
    /// Keeps in this file from here on.
    pub fn new(store: Store) -> Self {
        Self { store, beside: false }
    }
}

/// The records of another workbook, read without leaving a trace beside it.
///
/// # Errors
/// If it is no workbook or cannot be read.
pub fn other(path: &Path) -> Result<Book, Trouble> {
    Store::open_read_only(path)
        .map(|opened| opened.book)
        .map_err(|why| Trouble::File(why.to_string()))
}

impl Keep for File {
    fn commit(&mut self, entry: &Entry) -> Result<EntryHead, Trouble> {
        self.beside = true;
        self.store.commit(entry).map_err(trouble)
    }

    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
        self.store.entry(seq).map_err(trouble)
    }

    fn log(&mut self) -> Result<WholeLog, Trouble> {
        whole_log(&self.store).map_err(trouble)
    }

    fn fresh(&mut self) -> Result<Option<Fresh>, Trouble> {
        // It is asked for where nobody types. What cannot be folded in stands safe beside the file.
        if std::mem::take(&mut self.beside) {
            let _ = self.store.fold_in();
        }
        if !self.store.changed_elsewhere().map_err(trouble)? {
            return Ok(None);
        }
        let (book, heads) = self.store.reload().map_err(trouble)?;
        Ok(Some(Fresh {
            book: Arc::new(book),
            heads,
        }))
    }
}

pub(super) fn trouble(error: StoreError) -> Trouble {
    Trouble::File(match error.hint {
        Some(hint) => format!("{}: {hint}", error.sentence),
        None => error.sentence,
    })
}
