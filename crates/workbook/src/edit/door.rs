//! Checking an edit whole, adding what follows from it, and applying it whole.

use super::{Change, Edit, Refusal, Stamp, lapse, undo, validate};
use crate::{
    Book,
    log::{ENTRY_SCHEMA, Entry, EntryKind},
    model::{Key, Kind, Record, TemporaryLink},
};

impl Book {
    /// Checks an edit against this book and turns it into the entry to commit.
    ///
    /// What follows from it is added: built steps that the edit touches fall back to "to be redone", readings of what it
    /// touches lapse, and steps of what is removed go with it.
    ///
    /// # Errors
    /// A [`Refusal`] in a sentence; the book is as it was.
    pub fn prepare(&self, edit: Edit, stamp: Stamp) -> Result<Entry, Refusal> {
        let mut edit = edit;
        if matches!(edit.kind, EntryKind::Undo | EntryKind::Redo) {
            undo::keep_lapsed(self, &mut edit.changes);
        }
        for change in &edit.changes {
            self.check_before(change)
                .map_err(|refusal| undo::moved_on(&edit, refusal))?;
        }
        edit.changes.extend(lapse::steps_of_removed(self, &edit.changes));
        let mut after = self.clone();
        after.follow(&edit.changes);
        validate::check(self, &after, &edit)?;
        no_link_stands(&after, &edit)?;
        self.check_why(&edit)?;
        let mut changes = edit.changes;
        let mut follows = lapse::follow(self, &after, &changes);
        follows.extend(lapse::readings(self, &after, &changes));
        changes.extend(follows);
        Ok(Entry {
            schema: ENTRY_SCHEMA,
            id: stamp.id,
            at: stamp.at,
            who: stamp.who,
            kind: edit.kind,
            title: edit.title,
            why: edit.why,
            of: edit.of,
            revision: edit.revision,
            changes,
            merged: edit.merged,
        })
    }

    /// Applies an entry that was prepared on this book and committed.
    ///
    /// # Errors
    /// [`Refusal::MovedOn`] if a record is not as the entry expects it; nothing is applied then.
    pub fn apply(&mut self, entry: &Entry) -> Result<(), Refusal> {
        for change in &entry.changes {
            self.check_before(change)?;
        }
        self.follow(&entry.changes);
        if let Some(revision) = &entry.revision {
            self.revision = Some(revision.clone());
        }
        Ok(())
    }

    fn check_before(&self, change: &Change) -> Result<(), Refusal> {
        let Some(key) = change.key() else {
            return Err(Refusal::invalid(
                "a change",
                None,
                "names no record, neither before nor after",
            ));
        };
        if change.before.as_ref().is_some_and(|before| before.key() != key) {
            return Err(Refusal::invalid(
                self.name_of(key),
                Some(key),
                "before and after are not the same record",
            ));
        }
        if self.tables().get(key) == change.before {
            Ok(())
        } else {
            Err(Refusal::MovedOn {
                what: self.name_of(key),
                key,
            })
        }
    }

    fn check_why(&self, edit: &Edit) -> Result<(), Refusal> {
        let Some(revision) = self.revision() else {
            return Ok(());
        };
        if !edit.why.trim().is_empty() || !matches!(edit.kind, EntryKind::Design | EntryKind::Import) {
            return Ok(());
        }
        let asked = edit
            .changes
            .iter()
            .filter_map(Change::key)
            .find(|k| asks_why(k.kind));
        match asked {
            None => Ok(()),
            Some(key) => Err(Refusal::WhyNeeded {
                what: self.name_of(key),
                revision: revision.to_owned(),
            }),
        }
    }
}

/// What is built, and what is proven of it.
fn asks_why(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Cavity | Kind::Wire | Kind::Switch | Kind::Expression | Kind::Rule
    )
}

/// What was put in for a test makes neither a plan to build by nor a vehicle to drive.
fn no_link_stands(after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let drives = |change: &Change| matches!((&change.before, &change.after), (None, Some(Record::Trial(_))));
    let what = match edit.kind {
        EntryKind::Release => "the plan cannot be released",
        EntryKind::Trial => "no trial is taken",
        EntryKind::Design if edit.changes.iter().any(drives) => "no trial is taken",
        _ => return Ok(()),
    };
    let links = after.all::<TemporaryLink>();
    let Some(link) = links.values().next() else {
        return Ok(());
    };
    let more = match links.len() {
        1 => String::new(),
        n => format!(" and {} more", n - 1),
    };
    Err(Refusal::invalid(
        format!(
            "the temporary link {} from {} to {}{more}",
            link.words,
            after.end_name(link.from),
            after.end_name(link.to)
        ),
        Some(Key::of(link.id)),
        format!("still stands; {what} before it is taken out"),
    ))
}
