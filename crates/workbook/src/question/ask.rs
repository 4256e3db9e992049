//! What is asked: a field of a record, or of several records that share one answer.

use serde_json::Value;

use super::Field;
use crate::{
    Book,
    model::{Cavity, Id, Key, Kind, Row},
};

/// A field that somebody is asked for.
#[derive(Debug, Clone)]
pub struct Ask {
    /// The records that one answer is for; nearly always one.
    pub of: Vec<Key>,
    /// The field.
    pub field: &'static Field,
}

impl PartialEq for Ask {
    fn eq(&self, other: &Self) -> bool {
        self.of == other.of && std::ptr::eq(self.field, other.field)
    }
}

impl Eq for Ask {}

impl Ask {
    /// Asks for a field of a record.
    pub fn of<R: Row>(of: Id<R>, field: &'static Field) -> Self {
        Self::all([of], field)
    }

    /// Asks once for a field that several records share (the contact family of a connector's cavities).
    pub fn all<R: Row>(of: impl IntoIterator<Item = Id<R>>, field: &'static Field) -> Self {
        debug_assert_eq!(R::KIND, field.kind, "a field of this kind of record");
        Self {
            of: of.into_iter().map(Key::of).collect(),
            field,
        }
    }

    /// The first of its records.
    pub fn first(&self) -> Option<Key> {
        self.of.first().copied()
    }

    /// What is asked, with its record (`pull-in volts at 20 °C of K2 coil`).
    pub fn words(&self, book: &Book) -> String {
        let what = self.field.words;
        let Some(first) = self.first().filter(|key| key.kind != Kind::About) else {
            return what.to_owned();
        };
        let name = match first.as_id::<Cavity>() {
            Some(id) => book.cavity_name(id),
            None => book
                .tables()
                .get_ref(first)
                .map_or_else(|| "?".to_owned(), |record| record.label().to_owned()),
        };
        match self.of.len() {
            1 => format!("{what} of {name}"),
            more => format!("{what} of {name} and {} more", more - 1),
        }
    }

    /// Whether nobody has answered yet.
    pub fn is_open(&self, book: &Book) -> bool {
        self.of.iter().any(|key| self.is_open_at(book, *key))
    }

    pub(super) fn is_open_at(&self, book: &Book, key: Key) -> bool {
        let Some(record) = book.tables().get(key) else {
            return false;
        };
        let Ok(value) = serde_json::to_value(record) else {
            return false;
        };
        let mut at = value.as_object().and_then(|kinds| kinds.values().next());
        for step in self.field.path {
            at = at.and_then(|at| at.get(step));
        }
        match at {
            None | Some(Value::Null) => true,
            Some(Value::String(text)) => text.is_empty(),
            Some(_) => false,
        }
    }
}
