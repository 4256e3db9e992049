//! Files of a record: which there are, and how they get to the disk whole or not at all.

mod error;
mod write;

pub use error::WriteError;
pub use write::write_all;

use crate::{
    csv,
    html::{RecordInput, glovebox, record},
};

/// The record as files: `record.html`, `glovebox.html` and a table each in `tables/`. Names are relative, with `/`.
pub fn record_files(input: &RecordInput<'_>) -> Vec<(String, Vec<u8>)> {
    let page = ("record.html".to_owned(), record(input).into_bytes());
    let sheet = ("glovebox.html".to_owned(), glovebox(input).into_bytes());
    let tables = csv::tables(input.snapshot, input.heads, input.report);
    let tables = tables
        .into_iter()
        .map(|(name, bytes)| (format!("tables/{name}"), bytes));
    [page, sheet].into_iter().chain(tables).collect()
}

#[cfg(test)]
mod tests;
