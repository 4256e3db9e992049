//! Another copy of this workbook, laid beside it: what comes in by itself, and what a person must choose.

use std::sync::Arc;

use crimpbook_record::compare::{Difference, differences};
use crimpbook_workbook::{
    Book,
    edit::{Edit, Refusal, Stamp},
    merge::{Choices, Conflict, Keeps, Laid, lay_out},
    model::{IdMaker, Kind},
};

use crate::{screen::text::count, session::Copies};

/// A merge before it is written.
#[derive(Debug, Clone)]
pub struct Merging {
    /// The other copy, as it was named.
    pub path: String,
    copies: Arc<Copies>,
    book: Arc<Book>,
    choices: Choices,
    /// Every conflict, with whose is kept where that is chosen.
    pub conflicts: Vec<(Conflict, Option<Keeps>)>,
    /// What comes in without a choice.
    pub alone: Vec<Difference>,
    /// What it comes to with the choices made.
    pub edit: Edit,
    /// The row the cursor is on: conflicts first, then what comes in alone.
    pub at: usize,
}

impl Merging {
    /// Lays another copy beside this one; none: it has nothing that this one lacks.
    ///
    /// # Errors
    /// It is no copy of this workbook.
    pub fn of(
        path: String,
        copies: Arc<Copies>,
        book: Arc<Book>,
        ids: &mut IdMaker,
    ) -> Result<Option<Self>, Refusal> {
        let sides = (copies.mine.side(&book), copies.theirs.side(&copies.book));
        let as_here: Choices = [("all".to_owned(), Keeps::Mine)].into();
        let alone = lay_out(&sides.0, &sides.1, &as_here)?.map(|laid| alone(&book, &laid.edit, ids));
        let laid = lay_out(&sides.0, &sides.1, &Choices::new())?;
        let (Some(laid), Some(alone)) = (laid, alone) else {
            return Ok(None);
        };
        Ok(Some(Self {
            path,
            copies,
            book,
            choices: Choices::new(),
            conflicts: laid.conflicts,
            alone,
            edit: laid.edit,
            at: 0,
        }))
    }

    /// The same beside a copy of this one that moved on; what was chosen stays where it is still asked.
    pub fn follow(&mut self, newer: Self) {
        let (choices, at) = (std::mem::take(&mut self.choices), self.at);
        *self = newer;
        self.choices = choices;
        self.lay();
        self.at = at.min(self.rows().saturating_sub(1));
    }

    /// Rows that the cursor can be on.
    pub fn rows(&self) -> usize {
        self.conflicts.len() + self.alone.len()
    }

    /// The conflict that the cursor is on.
    pub fn conflict(&self) -> Option<&Conflict> {
        self.conflicts.get(self.at).map(|(conflict, _)| conflict)
    }

    /// Conflicts without a choice.
    pub fn open(&self) -> usize {
        self.conflicts.iter().filter(|(_, keeps)| keeps.is_none()).count()
    }

    /// Chooses for the conflict under the cursor, or leaves it open again.
    pub fn choose(&mut self, keeps: Option<Keeps>) {
        let Some(name) = self.conflict().map(|conflict| conflict.name.clone()) else {
            return;
        };
        match keeps {
            Some(keeps) => self.choices.insert(name.clone(), keeps),
            None => self.choices.remove(&name),
        };
        self.lay();
        let place = |all: &[(Conflict, Option<Keeps>)]| all.iter().position(|(c, _)| c.name == name);
        self.at = place(&self.conflicts).unwrap_or(self.at);
        if keeps.is_some() {
            self.at = self.next_open().unwrap_or(self.at);
        }
    }

    /// Chooses the same for all that is open, also for what comes to be asked by that.
    pub fn choose_rest(&mut self, keeps: Keeps) {
        // Each turn answers all that is asked; what an answer raises is asked in the next.
        while self.open() > 0 {
            let before = self.choices.len();
            let open = self.conflicts.iter().filter(|(_, chosen)| chosen.is_none());
            let names: Vec<String> = open.map(|(conflict, _)| conflict.name.clone()).collect();
            self.choices.extend(names.into_iter().map(|name| (name, keeps)));
            self.lay();
            if self.choices.len() <= before {
                return;
            }
        }
    }

    /// The first open conflict below the cursor, round the end.
    fn next_open(&self) -> Option<usize> {
        let open = |at: &usize| self.conflicts.get(*at).is_some_and(|(_, keeps)| keeps.is_none());
        (self.at + 1..self.conflicts.len()).chain(0..self.at).find(open)
    }

    fn lay(&mut self) {
        let (ours, theirs) = (
            self.copies.mine.side(&self.book),
            self.copies.theirs.side(&self.copies.book),
        );
        // Both were held against each other already: they are copies of one workbook.
        if let Ok(Some(Laid { conflicts, edit })) = lay_out(&ours, &theirs, &self.choices) {
            (self.conflicts, self.edit) = (conflicts, edit);
        }
    }

    /// What would be written, in a sentence.
    pub fn told(&self) -> String {
        let brought = self.edit.merged.as_ref().map_or(0, |merged| merged.entries.len());
        format!(
            "{} of the log would come in, {} here",
            count(brought, "entry", "entries"),
            count(self.edit.changes.len(), "record changes", "records change")
        )
    }
}

/// What an edit that takes this copy's side everywhere brings, field by field; answers for build steps are counted.
fn alone(book: &Book, edit: &Edit, ids: &mut IdMaker) -> Vec<Difference> {
    let step = |key| key == Some(Kind::StepDone);
    let (steps, others): (Vec<_>, Vec<_>) = edit
        .changes
        .iter()
        .cloned()
        .partition(|change| step(change.key().map(|key| key.kind)));
    // Names of records that only the other copy has are to be had once all of it is in.
    let mut after = book.clone();
    let stamp = Stamp {
        id: ids.make(),
        at: chrono::DateTime::UNIX_EPOCH,
        who: String::new(),
    };
    if let Ok(entry) = book.prepare(edit.clone(), stamp) {
        // What does not hold together is told when it is to be written.
        let _ = after.apply(&entry);
    }
    let mut lines = differences(&after, &others);
    if let Some(key) = steps.first().and_then(crimpbook_workbook::edit::Change::key) {
        lines.push(Difference {
            key,
            record: "build steps".to_owned(),
            field: String::new(),
            was: String::new(),
            is: format!("{} answered for there", count(steps.len(), "step", "steps")),
        });
    }
    lines
}
