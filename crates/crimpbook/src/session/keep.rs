//! What a session needs of the place where the workbook is kept.

use std::{fmt, sync::Arc};

use crimpbook_workbook::{
    Book,
    log::{Entry, EntryHead},
};

use super::{Trouble, WholeLog};

/// The book and log as another writer left them.
#[derive(Debug, Clone)]
pub struct Fresh {
    /// The book.
    pub book: Arc<Book>,
    /// The log's heads, oldest first.
    pub heads: Vec<EntryHead>,
}

/// Keeps entries: the file, or memory in tests.
pub trait Keep: fmt::Debug + Send {
    /// Makes rows and entry durable, all or nothing.
    ///
    /// # Errors
    /// A sentence; nothing was written then.
    fn commit(&mut self, entry: &Entry) -> Result<EntryHead, Trouble>;

    /// Reads a whole entry.
    ///
    /// # Errors
    /// If it is not there or cannot be read.
    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble>;

    /// The whole log, once all that is kept was read through and found whole.
    ///
    /// # Errors
    /// If it is not whole or cannot be read.
    fn log(&mut self) -> Result<WholeLog, Trouble>;

    /// What another writer has done since the last look; none: nothing.
    ///
    /// # Errors
    /// If it cannot be read.
    fn fresh(&mut self) -> Result<Option<Fresh>, Trouble>;
}
