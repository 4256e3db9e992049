//! The whole workbook as one JSON document, out and in.
//!
//! The document carries the rows and the log. Log entries stand one a line, each as exactly the text that the hash chain
//! covers, so that a log can be verified with nothing but this file. `assets/workbook.schema.json` is its JSON Schema and
//! `assets/workbook-format.md` the same field by field; both are generated from the code.

mod document;
mod error;
mod layout;
mod node;
mod page;
mod read;
mod replay;
mod schema;
mod write;

pub use document::{Document, FORMAT, Interchange};
pub use error::ReadError;
pub use page::page;
pub use read::read;
pub use replay::FollowError;
pub use schema::schema;
pub(crate) use write::rows;
pub use write::write;

#[cfg(test)]
mod tests;
#[cfg(test)]
pub(crate) use tests::any_records;
