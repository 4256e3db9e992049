//! An open workbook and the door to it: what command line and screens share.
//!
//! A [`Session`] checks an edit, has it kept, and only then shows it: nothing is seen that is not durable.

mod copies;
mod file;
mod keep;
mod memory;
mod trying;

use std::{fmt, sync::Arc};

use chrono::{DateTime, Utc};
use crimpbook_workbook::{
    Book,
    edit::{Edit, Refusal, Stamp, find_redo, find_undo, invert},
    log::{Entry, EntryHead},
    model::IdMaker,
};

pub use copies::{Copies, WholeLog, read_copy, whole_log};
pub use file::{File, other};
pub use keep::{Fresh, Keep};
pub use memory::Memory;
pub use trying::{Tried, Tries};

/// Why something was not done, in sentences.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// The edit does not hold; nothing was written.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The file could not be read or written.
    #[error("{0}")]
    File(String),
}

/// An edit that was kept.
#[derive(Debug, Clone)]
pub struct Kept {
    /// The book as it is now.
    pub book: Arc<Book>,
    /// The entry's head.
    pub head: EntryHead,
    /// Every head, where another writer was there in between.
    pub all_heads: Option<Vec<EntryHead>>,
}

/// An open workbook.
pub struct Session {
    keep: Box<dyn Keep>,
    book: Arc<Book>,
    heads: Vec<EntryHead>,
    ids: IdMaker,
    who: String,
    now: fn() -> DateTime<Utc>,
    /// What another writer left and nobody was told of yet.
    unseen: Option<Fresh>,
    /// Edits that are tried.
    trying: Option<trying::Trying>,
}

impl fmt::Debug for Session {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Session")
            .field("who", &self.who)
            .field("entries", &self.heads.len())
            .finish_non_exhaustive()
    }
}

impl Session {
    /// A session over what `keep` holds.
    ///
    /// `seed`: fresh random bits; ids of this session's entries come from it. `now`: the clock.
    pub fn new(
        keep: Box<dyn Keep>,
        book: Book,
        heads: Vec<EntryHead>,
        who: impl Into<String>,
        seed: u128,
        now: fn() -> DateTime<Utc>,
    ) -> Self {
        Self {
            keep,
            book: Arc::new(book),
            heads,
            ids: IdMaker::new(seed),
            who: who.into(),
            now,
            unseen: None,
            trying: None,
        }
    }

    /// The book as it is kept.
    pub fn book(&self) -> &Arc<Book> {
        &self.book
    }

    /// The log's heads, oldest first.
    pub fn heads(&self) -> &[EntryHead] {
        &self.heads
    }

    /// Who is at work.
    pub fn who(&self) -> &str {
        &self.who
    }

    /// The moment by this session's clock.
    pub fn now(&self) -> DateTime<Utc> {
        (self.now)()
    }

    /// Checks, keeps and shows an edit.
    ///
    /// Where another writer was there first, the edit is checked again on what they left, and kept if it still holds.
    ///
    /// # Errors
    /// A sentence; nothing was written then.
    pub fn edit(&mut self, edit: Edit) -> Result<Kept, Trouble> {
        if self.trying.is_some() {
            return self.try_on(edit);
        }
        // A merge was laid out against the log as it was; it is laid out anew where that moved on.
        let whole = edit.merged.is_none();
        match self.try_edit(edit.clone()) {
            Err(Trouble::File(sentence)) if whole => match self.refresh() {
                Ok(Some(fresh)) => match self.try_edit(edit) {
                    Ok(kept) => Ok(Kept {
                        all_heads: Some(self.heads.clone()),
                        ..kept
                    }),
                    Err(trouble) => {
                        self.unseen = Some(fresh);
                        Err(trouble)
                    }
                },
                _ => Err(Trouble::File(sentence)),
            },
            done => done,
        }
    }

    fn stamp(&mut self) -> Stamp {
        Stamp {
            id: self.ids.make(),
            at: self.now(),
            who: self.who.clone(),
        }
    }

    fn try_edit(&mut self, edit: Edit) -> Result<Kept, Trouble> {
        let stamp = self.stamp();
        let entry = self.book.prepare(edit, stamp)?;
        let head = self.keep.commit(&entry)?;
        Arc::make_mut(&mut self.book).apply(&entry)?;
        self.heads.push(head.clone());
        Ok(Kept {
            book: Arc::clone(&self.book),
            head,
            all_heads: None,
        })
    }

    /// Takes back the last edit of one's own.
    ///
    /// # Errors
    /// A sentence: there is none, or a record has moved on since.
    pub fn undo(&mut self) -> Result<Kept, Trouble> {
        if self.trying.is_some() {
            return self.untry();
        }
        let seq = find_undo(&self.heads, &self.who)?.seq;
        let entry = self.entry(seq)?;
        self.edit(invert(&entry))
    }

    /// Does again what was taken back last.
    ///
    /// # Errors
    /// As [`Session::undo`].
    pub fn redo(&mut self) -> Result<Kept, Trouble> {
        if self.trying.is_some() {
            return Err(Trouble::File(
                "what was tried and taken back is not brought back; make the edit anew".to_owned(),
            ));
        }
        let seq = find_redo(&self.heads, &self.who)?.seq;
        let entry = self.entry(seq)?;
        self.edit(invert(&entry))
    }

    /// A whole entry of the log.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
        if let Some(entry) = self.trying.as_ref().and_then(|trying| trying.entry(seq)) {
            return Ok(entry.clone());
        }
        self.keep.entry(seq)
    }

    /// The whole log as it is kept.
    ///
    /// # Errors
    /// It is not whole, or cannot be read.
    pub fn log(&mut self) -> Result<WholeLog, Trouble> {
        self.keep.log()
    }

    /// This workbook's log beside another copy of it.
    ///
    /// # Errors
    /// Edits are tried; one of the two is not whole or cannot be read.
    pub fn copies(&mut self, other: &std::path::Path) -> Result<Copies, Trouble> {
        if self.trying.is_some() {
            return Err(Trouble::File(
                "edits are being tried; keep or drop them first, then merge".to_owned(),
            ));
        }
        let (book, theirs) = read_copy(other).map_err(file::trouble)?;
        let mine = self.log()?;
        Ok(Copies { mine, book, theirs })
    }

    /// What another writer has done since; none: nothing.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn refresh(&mut self) -> Result<Option<Fresh>, Trouble> {
        // What is tried stands on the book as it was; others' changes are seen when it is kept or dropped.
        if self.trying.is_some() {
            return Ok(None);
        }
        if let Some(fresh) = self.unseen.take() {
            return Ok(Some(fresh));
        }
        let Some(fresh) = self.keep.fresh()? else {
            return Ok(None);
        };
        self.book = Arc::clone(&fresh.book);
        self.heads.clone_from(&fresh.heads);
        Ok(Some(fresh))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crimpbook_workbook::{edit::Change, model::Zone};

    fn session() -> Session {
        Session::new(
            Box::new(Memory::default()),
            Book::default(),
            Vec::new(),
            "A.",
            1,
            || DateTime::UNIX_EPOCH,
        )
    }

    fn zone(id: u128, label: &str) -> Zone {
        Zone {
            id: crimpbook_workbook::model::Id::from_bits(id),
            label: label.into(),
            ambient_c: None,
            wet: false,
            plan: None,
            note: String::new(),
        }
    }

    #[test]
    fn undo_and_redo_are_entries_of_their_own() {
        let mut session = session();
        session
            .edit(Edit::design("zone cabin", vec![Change::make(zone(1, "cabin"))]))
            .unwrap();
        let with = session.book().clone();
        session.undo().unwrap();
        assert!(session.book().all::<Zone>().is_empty());
        session.redo().unwrap();
        assert_eq!(*session.book(), with);
        assert_eq!(session.heads().len(), 3);
        assert!(session.redo().is_err());
    }

    /// A keep that another writer reaches first, once.
    #[derive(Debug, Default)]
    struct Shared {
        mine: Memory,
        theirs: Option<Zone>,
    }

    impl Keep for Shared {
        fn commit(&mut self, entry: &Entry) -> Result<EntryHead, Trouble> {
            match self.theirs {
                Some(_) => Err(Trouble::File("another process was there first".to_owned())),
                None => self.mine.commit(entry),
            }
        }
        fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
            self.mine.entry(seq)
        }
        fn log(&mut self) -> Result<WholeLog, Trouble> {
            self.mine.log()
        }
        fn fresh(&mut self) -> Result<Option<Fresh>, Trouble> {
            let Some(zone) = self.theirs.take() else {
                return Ok(None);
            };
            let stamp = Stamp {
                id: IdMaker::new(9).make(),
                at: DateTime::UNIX_EPOCH,
                who: "B.".to_owned(),
            };
            let mut book = Book::default();
            let entry = book.prepare(Edit::design("theirs", vec![Change::make(zone)]), stamp)?;
            book.apply(&entry)?;
            Ok(Some(Fresh {
                book: Arc::new(book),
                heads: vec![self.mine.commit(&entry)?],
            }))
        }
    }

    fn shared(theirs: Zone) -> Session {
        let keep = Shared {
            mine: Memory::default(),
            theirs: Some(theirs),
        };
        Session::new(Box::new(keep), Book::default(), Vec::new(), "A.", 1, || {
            DateTime::UNIX_EPOCH
        })
    }

    #[test]
    fn an_edit_that_still_holds_is_kept_after_anothers() {
        let mut session = shared(zone(2, "rear"));
        let kept = session
            .edit(Edit::design("zone cabin", vec![Change::make(zone(1, "cabin"))]))
            .unwrap();
        assert_eq!(kept.book.all::<Zone>().len(), 2);
        assert_eq!(kept.all_heads.map(|h| h.len()), Some(2));
    }

    #[test]
    fn an_edit_that_no_longer_holds_is_refused_and_theirs_is_shown() {
        let mut session = shared(zone(2, "cabin"));
        let refused = session.edit(Edit::design("zone cabin", vec![Change::make(zone(1, "cabin"))]));
        assert!(matches!(refused, Err(Trouble::Refused(_))), "the label is taken");
        let told = session.refresh().unwrap().map(|fresh| fresh.heads.len());
        assert_eq!((session.book().all::<Zone>().len(), told), (1, Some(1)));
    }

    #[test]
    fn what_cannot_be_kept_is_not_shown() {
        let mut session = Session::new(
            Box::new(Memory::refusing("the disk is full")),
            Book::default(),
            Vec::new(),
            "A.",
            1,
            || DateTime::UNIX_EPOCH,
        );
        let edit = Edit::design("zone cabin", vec![Change::make(zone(1, "cabin"))]);
        assert_eq!(
            session.edit(edit).unwrap_err(),
            Trouble::File("the disk is full".into())
        );
        assert!(session.book().all::<Zone>().is_empty() && session.heads().is_empty());
    }
}
