//! Conflicts, and what a person chose.

use std::collections::{BTreeMap, BTreeSet};

use super::Side;
use crate::{
    Book,
    book::{InOrder, natural},
    edit::Refusal,
    log::{Entry, EntryKind},
    model::{Built, ChangeId, Key, StepDone},
};

/// Whose is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeps {
    /// What this copy says.
    Mine,
    /// What the other copy says.
    Theirs,
}

/// What a person chose, by the name of the conflict as it is told; `all` stands for every one not named.
pub type Choices = BTreeMap<String, Keeps>;

/// Something that both copies say differently.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Conflict {
    /// Its name, as it is typed to choose (`W44.area_mm2`).
    pub name: String,
    /// What it is about, in words.
    pub what: String,
    /// The record it belongs under, in words: a build step belongs under its wire.
    pub of: String,
    /// What this copy says.
    pub mine: String,
    /// What the other copy says.
    pub theirs: String,
    /// Who changed it here, when and why.
    pub mine_by: String,
    /// Who changed it there, when and why.
    pub theirs_by: String,
}

/// Where conflicts are laid and answered.
pub(super) struct Desk<'a> {
    pub ours: &'a Side<'a>,
    pub theirs: &'a Side<'a>,
    choices: &'a Choices,
    own: (Vec<Entry>, Vec<Entry>),
    open: Vec<Conflict>,
    /// Records that an open conflict is about.
    waiting: BTreeSet<Key>,
    answered: Vec<(Conflict, Keeps)>,
}

impl<'a> Desk<'a> {
    pub fn new(
        choices: &'a Choices,
        ours: &'a Side<'a>,
        theirs: &'a Side<'a>,
        common: &BTreeSet<ChangeId>,
    ) -> Self {
        let own = |side: &Side<'_>| {
            let entries = side.entries().into_iter();
            entries.filter(|entry| !common.contains(&entry.id)).collect()
        };
        Self {
            own: (own(ours), own(theirs)),
            ours,
            theirs,
            choices,
            open: Vec::new(),
            waiting: BTreeSet::new(),
            answered: Vec::new(),
        }
    }

    /// Lays a conflict on the desk; what is not decided yet is taken as ours for the time being.
    ///
    /// `about`: the records it is about on either side, whose last change tells who and why.
    pub fn lay(&mut self, mut conflict: Conflict, about: (Key, Key)) -> Keeps {
        conflict.of = self
            .belongs(about.0)
            .or_else(|| self.belongs(about.1))
            .unwrap_or_default();
        conflict.mine_by = self.last(&self.own.0, about.0);
        conflict.theirs_by = self.last(&self.own.1, about.1);
        let chosen = self
            .choices
            .get(&conflict.name)
            .or_else(|| self.choices.get("all"));
        let known = |c: &Conflict| c.name == conflict.name;
        match chosen.copied() {
            Some(keeps) => {
                if !self.answered.iter().any(|(c, _)| known(c)) {
                    self.answered.push((conflict, keeps));
                }
                keeps
            }
            None => {
                self.waiting.extend([about.0, about.1]);
                if !self.open.iter().any(known) {
                    self.open.push(conflict);
                }
                Keeps::Mine
            }
        }
    }

    /// The record under whose name something about `key` is told, where either copy has it.
    fn belongs(&self, key: Key) -> Option<String> {
        let sides = [self.ours.book, self.theirs.book];
        let book = sides.into_iter().find(|book| book.tables().has(key))?;
        let step = key.as_id::<StepDone>().and_then(|id| book.get(id));
        let of = step.map_or(key, |step| match step.of {
            Built::Wire(wire) | Built::End { wire, .. } => Key::of(wire),
            Built::Connector(id) => Key::of(id),
            Built::Junction(id) => Key::of(id),
        });
        Some(book.name_of(of))
    }

    /// Whether a record waits for a choice: what follows from it is told once that is made.
    pub fn waits(&self, key: Key) -> bool {
        self.waiting.contains(&key)
    }

    fn last(&self, entries: &[Entry], about: Key) -> String {
        let touches = |entry: &&Entry| entry.changes.iter().any(|change| change.key() == Some(about));
        let Some(entry) = entries.iter().rev().find(touches) else {
            return String::new();
        };
        let why = if entry.why.is_empty() {
            "no why given".to_owned()
        } else {
            format!("why: {}", entry.why)
        };
        format!("{}, {}; {why}", entry.who, entry.at.format("%Y-%m-%d %H:%M UTC"))
    }

    /// The revision after the merge, where the other copy was released meanwhile.
    pub fn revision(&mut self) -> Option<String> {
        // A merge may have kept another letter than the one released last.
        let released = |entries: &[Entry], book: &Book| {
            let releases = entries.iter().rev();
            let mut releases = releases.filter(|entry| entry.kind == EntryKind::Release);
            let letter = book.revision()?.to_owned();
            let newest = releases.clone().next()?;
            let last = releases
                .find(|entry| entry.revision.as_ref() == Some(&letter))
                .unwrap_or(newest);
            Some((
                letter,
                format!(
                    "{}, {}; why: {}",
                    last.who,
                    last.at.format("%Y-%m-%d %H:%M UTC"),
                    last.why
                ),
            ))
        };
        let (mine, theirs) = (
            released(&self.own.0, self.ours.book),
            released(&self.own.1, self.theirs.book),
        );
        match (mine, theirs) {
            (None, Some((letter, _))) => Some(letter),
            (Some((mine, mine_by)), Some((theirs, theirs_by))) => {
                let page = self.ours.book.all::<crate::model::About>().keys().next();
                let about = page.map(|id| Key::of(*id))?;
                let conflict = Conflict {
                    name: format!("revision.{mine}"),
                    what: format!("revision {mine} was released in both copies"),
                    mine: format!("revision {mine} of this copy ({mine_by})"),
                    theirs: format!("revision {theirs} of the other copy ({theirs_by})"),
                    ..Conflict::default()
                };
                match self.lay(conflict, (about, about)) {
                    Keeps::Mine => Some(mine),
                    Keeps::Theirs => Some(theirs),
                }
            }
            _ => None,
        }
    }

    /// Conflicts that wait for a choice, if any do.
    pub fn undecided(&self) -> Option<Vec<Conflict>> {
        (!self.open.is_empty()).then(|| self.open.clone())
    }

    /// Every conflict with its choice, those of one record together.
    pub fn laid(&self) -> Vec<(Conflict, Option<Keeps>)> {
        let open = self.open.iter().map(|conflict| (conflict.clone(), None));
        let answered = self.answered.iter();
        let mut all: Vec<_> = answered
            .map(|(conflict, keeps)| (conflict.clone(), Some(*keeps)))
            .chain(open)
            .collect();
        all.order_by(|(c, _)| (natural(&c.of), c.name.clone()));
        all
    }

    /// Looks whether every choice names a conflict.
    ///
    /// # Errors
    /// One does not.
    pub fn decided(&self) -> Result<(), Refusal> {
        let met = |name: &String| {
            name == "all"
                || self.answered.iter().any(|(c, _)| c.name == *name)
                || self.open.iter().any(|c| c.name == *name)
        };
        if let Some(name) = self.choices.keys().find(|name| !met(name)) {
            return Err(Refusal::invalid(
                name.as_str(),
                None,
                "is no conflict between these two; look at the list and choose by the names there",
            ));
        }
        Ok(())
    }

    /// What was chosen, in sentences.
    pub fn reasons(&self) -> Vec<String> {
        self.answered
            .iter()
            .map(|(conflict, keeps)| {
                let (kept, left) = match keeps {
                    Keeps::Mine => (&conflict.mine, &conflict.theirs),
                    Keeps::Theirs => (&conflict.theirs, &conflict.mine),
                };
                format!("{}: {kept}, not {left}", conflict.name)
            })
            .collect()
    }
}
