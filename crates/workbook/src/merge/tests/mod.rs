mod by_hand;
mod random;
mod taken_twice;

use super::{Choices, Conflict, Outcome, Side, merge};
use crate::{
    Book,
    edit::{Edit, Refusal, Stamp},
    log::{Entry, Hash, link},
    model::Id,
};

/// A copy of a workbook with its log, as two laptops have it.
#[derive(Debug, Clone)]
struct Copy {
    book: Book,
    log: Vec<(Entry, String)>,
    who: &'static str,
    made: u128,
}

impl Copy {
    /// A new workbook that holds what `book` does.
    fn of(book: &Book) -> Self {
        let mut copy = Self {
            book: Book::default(),
            log: Vec::new(),
            who: "A.",
            made: 0,
        };
        let mut changes = Vec::new();
        book.tables().each(&mut |record| {
            changes.push(crate::edit::Change {
                before: None,
                after: Some(record),
            });
        });
        copy.put(Edit::new(crate::log::EntryKind::Creation, "made", changes))
            .expect("what is in a book holds");
        copy
    }

    /// The other laptop's copy.
    fn taken_by(&self, who: &'static str, made: u128) -> Self {
        Self {
            who,
            made,
            ..self.clone()
        }
    }

    /// Through the door, and into the log.
    fn put(&mut self, edit: Edit) -> Result<(), Refusal> {
        let stamp = Stamp {
            id: Id::from_bits(self.made + self.log.len() as u128 + 1),
            at: chrono::DateTime::from_timestamp(1_700_000_000 + self.log.len() as i64, 0).expect("a moment"),
            who: self.who.to_owned(),
        };
        let entry = self.book.prepare(edit, stamp)?;
        self.book.apply(&entry).expect("it was just prepared");
        let body = entry.canonical();
        self.log.push((entry, body));
        Ok(())
    }

    fn side(&self) -> Side<'_> {
        let head = self
            .log
            .iter()
            .fold(Hash::default(), |head, (_, body)| link(head, body));
        Side {
            book: &self.book,
            log: &self.log,
            head,
        }
    }

    fn merge(&self, other: &Self, choices: &Choices) -> Result<Outcome, Refusal> {
        merge(&self.side(), &other.side(), choices)
    }

    /// Takes the other's changes in; what both changed is as chosen.
    fn take(&mut self, other: &Self, choices: &Choices) {
        match self.merge(other, choices) {
            Ok(Outcome::Ready(edit)) => self.put(*edit).unwrap_or_else(|r| panic!("{r}")),
            other => panic!("not ready: {other:?}"),
        }
    }

    fn conflicts(&self, other: &Self) -> Vec<Conflict> {
        match self.merge(other, &Choices::new()) {
            Ok(Outcome::Undecided(conflicts)) => conflicts,
            Ok(_) => Vec::new(),
            Err(refusal) => panic!("{refusal}"),
        }
    }
}
