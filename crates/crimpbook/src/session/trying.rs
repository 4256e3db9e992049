//! Edits that are tried: the session goes on as if they were kept, and nothing of them reaches the file.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, together},
    log::{Entry, EntryKind},
    model::Kind,
};

use super::{Kept, Session, Trouble};

/// What is tried.
#[derive(Debug)]
pub(super) struct Trying {
    /// The book before the first edit.
    base: Arc<Book>,
    /// Entries of the log then.
    heads: usize,
    entries: Vec<Entry>,
}

impl Trying {
    /// An entry that is tried, by the place in the log that it would have.
    pub(super) fn entry(&self, seq: u64) -> Option<&Entry> {
        let at = usize::try_from(seq).ok()?.checked_sub(self.heads + 1)?;
        self.entries.get(at)
    }
}

/// What happens to a trial of edits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tries {
    /// Edits from here on are tried.
    Begin,
    /// What was tried is kept as one change, with its why.
    Keep(String),
    /// It is dropped.
    Drop,
}

/// What came of it.
#[derive(Debug, Clone)]
pub enum Tried {
    /// Edits are tried from here on.
    Begun,
    /// They were kept.
    Kept(Kept),
    /// The book is as it was.
    Dropped(Arc<Book>, Vec<crimpbook_workbook::log::EntryHead>),
}

impl Session {
    /// Begins, keeps or drops a trial of edits.
    ///
    /// # Errors
    /// A sentence: nothing is tried, or what is tried cannot be kept; it is tried on then.
    pub fn tries(&mut self, what: Tries) -> Result<Tried, Trouble> {
        match (what, self.trying.take()) {
            (Tries::Begin, None) => {
                self.trying = Some(Trying {
                    base: Arc::clone(&self.book),
                    heads: self.heads.len(),
                    entries: Vec::new(),
                });
                Ok(Tried::Begun)
            }
            (Tries::Begin, trying) => {
                self.trying = trying;
                Ok(Tried::Begun)
            }
            (_, None) => Err(no("no edit is being tried")),
            (Tries::Drop, Some(trying)) => {
                self.book = trying.base;
                self.heads.truncate(trying.heads);
                Ok(Tried::Dropped(Arc::clone(&self.book), self.heads.clone()))
            }
            (Tries::Keep(why), Some(trying)) => self.keep_tried(trying, why),
        }
    }

    fn keep_tried(&mut self, trying: Trying, why: String) -> Result<Tried, Trouble> {
        let mut edit = together(&trying.base, &self.book, &trying.entries);
        if edit.changes.is_empty() {
            self.trying = Some(trying);
            return Err(no("nothing that was tried is left to keep; drop it"));
        }
        if !why.trim().is_empty() {
            edit.why = why;
        }
        let tried = std::mem::replace(&mut self.book, Arc::clone(&trying.base));
        let heads = self.heads.split_off(trying.heads);
        match self.edit(edit) {
            Ok(kept) => Ok(Tried::Kept(Kept {
                all_heads: Some(self.heads.clone()),
                ..kept
            })),
            Err(trouble) => {
                // It is tried on; what another writer left meanwhile is told of once it is kept or dropped.
                self.book = tried;
                self.heads.truncate(trying.heads);
                self.heads.extend(heads);
                self.trying = Some(trying);
                Err(trouble)
            }
        }
    }

    /// Tries an edit: it goes through the door, and no further.
    pub(super) fn try_on(&mut self, mut edit: Edit) -> Result<Kept, Trouble> {
        let done = |change: &Change| change.key().is_some_and(|key| key.kind == Kind::FaultFinding);
        let plan = matches!(edit.kind, EntryKind::Design | EntryKind::Import);
        if !plan || edit.changes.iter().any(done) {
            return Err(no(
                "edits are being tried, and only changes of the plan can be: keep or drop them first, so that what is done at \
                 the vehicle is on the disk at once",
            ));
        }
        // The why is asked for when it is kept; the door wants one after a release.
        let given = edit.why.clone();
        if given.trim().is_empty() {
            "tried".clone_into(&mut edit.why);
        }
        let stamp = self.stamp();
        let mut entry = self.book.prepare(edit, stamp)?;
        entry.why = given;
        Arc::make_mut(&mut self.book).apply(&entry)?;
        let head = entry.head(self.heads.len() as u64 + 1);
        self.heads.push(head.clone());
        if let Some(trying) = &mut self.trying {
            trying.entries.push(entry);
        }
        Ok(Kept {
            book: Arc::clone(&self.book),
            head,
            all_heads: None,
        })
    }

    /// Takes back the last edit that is tried.
    pub(super) fn untry(&mut self) -> Result<Kept, Trouble> {
        let Some(trying) = &mut self.trying else {
            return Err(no("no edit is being tried"));
        };
        let Some(last) = trying.entries.pop() else {
            return Err(no(
                "nothing is tried yet; what was kept before can be taken back once the trial is dropped",
            ));
        };
        let mut book = Book::clone(&trying.base);
        for entry in &trying.entries {
            book.apply(entry)?;
        }
        self.heads.truncate(trying.heads + trying.entries.len());
        self.book = Arc::new(book);
        let mut head = last.head(self.heads.len() as u64 + 1);
        head.title = format!("tried no longer: {}", head.title);
        Ok(Kept {
            book: Arc::clone(&self.book),
            head,
            all_heads: Some(self.heads.clone()),
        })
    }
}

fn no(sentence: &str) -> Trouble {
    Trouble::File(sentence.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Memory;
    use chrono::DateTime;
    use crimpbook_workbook::model::{Id, Zone};

    fn zone(id: u128, label: &str) -> Edit {
        let zone = Zone {
            id: Id::from_bits(id),
            label: label.into(),
            ambient_c: None,
            wet: false,
            plan: None,
            note: String::new(),
        };
        Edit::design(format!("zone {label}"), vec![Change::make(zone)])
    }

    fn session() -> Session {
        let keep = Box::new(Memory::default());
        let mut session = Session::new(keep, Book::default(), Vec::new(), "A.", 1, || {
            DateTime::UNIX_EPOCH
        });
        session.edit(zone(1, "cabin")).unwrap();
        session
    }

    #[test]
    fn what_is_dropped_was_never_there() {
        let mut session = session();
        let before = (session.book().clone(), session.heads().len());
        session.tries(Tries::Begin).unwrap();
        session.edit(zone(2, "boot")).unwrap();
        assert_eq!(session.book().all::<Zone>().len(), 2);
        assert_eq!(session.entry(2).unwrap().title, "zone boot");
        assert!(session.keep.entry(2).is_err(), "nothing of it is kept");
        session.tries(Tries::Drop).unwrap();
        assert_eq!((session.book().clone(), session.heads().len()), before);
        assert!(session.tries(Tries::Drop).is_err());
    }

    #[test]
    fn what_is_kept_is_one_entry_with_its_why() {
        let mut session = session();
        session.tries(Tries::Begin).unwrap();
        session.edit(zone(2, "boot")).unwrap();
        session.edit(zone(3, "roof")).unwrap();
        session.edit(zone(4, "mistake")).unwrap();
        session.undo().unwrap();
        assert_eq!(session.book().all::<Zone>().len(), 3);
        let tried = session.book().clone();
        session
            .tries(Tries::Keep("room for the pump".to_owned()))
            .unwrap();
        assert_eq!(*session.book(), tried);
        assert_eq!(session.heads().len(), 2);
        let entry = session.keep.entry(2).unwrap();
        assert_eq!(
            (entry.title.as_str(), entry.why.as_str()),
            ("zone boot; zone roof", "room for the pump")
        );
        assert_eq!(entry.changes.len(), 2);
        session.undo().unwrap();
        assert_eq!(session.book().all::<Zone>().len(), 1);
    }

    #[test]
    fn a_tick_is_refused_and_a_full_disk_loses_nothing_of_what_is_tried() {
        let mut session = session();
        session.tries(Tries::Begin).unwrap();
        let tick = Edit::progress("ticked", Vec::new());
        assert!(
            session
                .edit(tick)
                .unwrap_err()
                .to_string()
                .contains("keep or drop them first")
        );
        assert!(session.undo().is_err(), "what was kept before stays");
        session.edit(zone(2, "boot")).unwrap();
        session.keep = Box::new(Memory::refusing("the disk is full"));
        let refused = session.tries(Tries::Keep(String::new())).unwrap_err();
        assert_eq!(refused.to_string(), "the disk is full");
        assert_eq!(session.book().all::<Zone>().len(), 2, "tried on");
        session.keep = Box::new(Memory::default());
        session.tries(Tries::Keep("room".to_owned())).unwrap();
        assert_eq!(session.book().all::<Zone>().len(), 2);
    }
}
