//! The whole workbook as a folder of CSV files that any tool can read and that comes back equal: rows, log and head.
//!
//! One file a kind of record, its columns named as in the interchange document, ids and all; `log.csv` holds the entries and
//! `dictionary.csv` says what every column is. `workbook.csv` marks the folder. Unlike the tables of [`crate::csv`], which are
//! for people, nothing is put into words here.

mod cell;
mod columns;
mod read;
mod write;

pub use read::{BundleError, read};
pub use write::write;

/// Number of the format that this program writes; it reads no newer one.
pub const FORMAT: u32 = 1;

/// The file that marks a folder as a bundle.
pub const MARKER: &str = "workbook.csv";

#[cfg(test)]
mod tests;
