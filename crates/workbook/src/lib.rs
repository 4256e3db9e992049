//! The meaning of a workbook: its records, the one door for change, the log, what is derived from them.
//!
//! Pure: no files, no clock, no entropy, no terminal. Moments, names and ids come from the caller.

pub mod analysis;
pub mod book;
pub mod check;
pub mod circuit;
pub mod edit;
pub mod json;
pub mod log;
pub mod measure;
pub mod merge;
pub mod model;
pub mod plan;
pub mod question;
pub mod reckon;
pub mod rules;
pub mod signals;
#[cfg(test)]
pub(crate) mod testing;
pub mod tried;
pub mod tune;

pub use book::Book;
