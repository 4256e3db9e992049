//! A book that stands still, with what is computed of it.

use std::sync::Arc;

use crate::Book;

/// A book that stands still while things are computed of it.
#[derive(Debug)]
pub struct Snapshot {
    book: Arc<Book>,
}

impl Snapshot {
    /// A snapshot of this book.
    pub fn new(book: Arc<Book>) -> Self {
        Self { book }
    }

    /// A snapshot of a copy of this book.
    pub fn of(book: &Book) -> Self {
        Self::new(Arc::new(book.clone()))
    }

    /// The book.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// The book, to keep.
    pub fn shared_book(&self) -> Arc<Book> {
        Arc::clone(&self.book)
    }
}
