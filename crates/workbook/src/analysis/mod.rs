//! Every computed result of one state of the book.
//!
//! A [`Snapshot`] is taken of a book and never changes; each result is computed once, when it is first asked for,
//! and shared by all checks and screens.

mod snapshot;

pub use snapshot::Snapshot;
