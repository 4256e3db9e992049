//! Checking an edit whole, adding what follows from it, and applying it whole.

use std::ops::ControlFlow;

use super::{Change, Edit, Refusal, Stamp, lapse, undo, validate};
use crate::{
    Book,
    log::{ENTRY_SCHEMA, Entry, EntryKind},
    model::{Key, Kind, Record, TemporaryLink, Trial},
    tune::open_steps,
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
        first_run_is_done(self, &after, &edit)?;
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

    /// What the door has against the records of an edit, at most one thing of each: all that [`Self::prepare`] would say one
    /// after the other, so that a large table is sifted in one go. Whys, trials and releases are not looked at.
    pub fn refusals(&self, edit: &Edit) -> Vec<Refusal> {
        let mut all: Vec<Refusal> = edit
            .changes
            .iter()
            .filter_map(|change| self.check_before(change).err())
            .collect();
        if all.is_empty() {
            let mut after = self.clone();
            after.follow(&edit.changes);
            validate::each(self, &after, edit, &mut |refusal| {
                all.push(refusal);
                ControlFlow::Continue(())
            });
        }
        all
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

    /// Whether an edit has the why that it needs.
    ///
    /// # Errors
    /// [`Refusal::WhyNeeded`], with what needs it.
    pub fn check_why(&self, edit: &Edit) -> Result<(), Refusal> {
        if !edit.why.trim().is_empty() || !matches!(edit.kind, EntryKind::Design | EntryKind::Import) {
            return Ok(());
        }
        // Which value made it drive right is lost where nobody said why it was turned. What comes in new from a file has
        // its why in the file.
        let turned = edit.changes.iter().find(|change| {
            let known = change.before.is_some() || edit.kind == EntryKind::Design;
            known && change.key().is_some_and(|key| key.kind == Kind::Setting)
        });
        if let Some(change) = turned
            && let Some(key) = change.key()
        {
            let label = change
                .after
                .as_ref()
                .or(change.before.as_ref())
                .map(Record::label);
            return Err(Refusal::WhyNeeded {
                what: format!("{} {}", key.kind.title(), label.unwrap_or_default()),
                because: match (&change.before, &change.after) {
                    (None, _) => "is entered",
                    (_, None) => "is removed",
                    _ => "is changed",
                }
                .to_owned(),
            });
        }
        let Some(revision) = self.revision() else {
            return Ok(());
        };
        let mut keys = edit.changes.iter().filter_map(Change::key);
        match keys.find(|k| asks_why(k.kind)) {
            None => Ok(()),
            Some(key) => Err(Refusal::WhyNeeded {
                what: self.name_of(key),
                because: format!("changes after release {revision}"),
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

/// Whether an edit makes a trial.
fn drives(edit: &Edit) -> bool {
    edit.changes
        .iter()
        .any(|change| matches!((&change.before, &change.after), (None, Some(Record::Trial(_)))))
}

/// Before the first trial is logged, each step of the first run has been gone through.
fn first_run_is_done(before: &Book, after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let logs = matches!(edit.kind, EntryKind::Trial | EntryKind::Design) && drives(edit);
    if !logs || !before.all::<Trial>().is_empty() {
        return Ok(());
    }
    let open = open_steps(after);
    let Some(next) = open.first() else {
        return Ok(());
    };
    let count = match open.len() {
        1 => "1 step of the first run is".to_owned(),
        n => format!("{n} steps of the first run are"),
    };
    Err(Refusal::invalid(
        "the first trial",
        None,
        format!(
            "is logged once the first run is gone through: {count} open, next: {}",
            next.words()
        ),
    ))
}

/// What was put in for a test makes neither a plan to build by nor a vehicle to drive.
fn no_link_stands(after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let what = match edit.kind {
        EntryKind::Release => "the plan cannot be released",
        EntryKind::Trial => "no trial is taken",
        EntryKind::Design if drives(edit) => "no trial is taken",
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
