//! The demonstration vehicle, as tests of this crate read it.

use crate::{
    Book,
    model::{RecordLists, Tables},
};

/// Its file.
pub(crate) const DEMO: &str = include_str!("../../../../demo/marrowby-pipit.json");

/// Its book.
pub(crate) fn demo() -> Book {
    let mut value: serde_json::Value = serde_json::from_str(DEMO).unwrap();
    let records: RecordLists = serde_json::from_value(value["records"].take()).unwrap();
    let mut tables = Tables::default();
    records.into_records().into_iter().for_each(|r| tables.put(r));
    Book::from_tables(tables, None)
}
