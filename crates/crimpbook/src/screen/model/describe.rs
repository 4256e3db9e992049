//! A record field by field, in words: what cards show.

use crimpbook_record::compare::{fields, words};
use crimpbook_workbook::model::Key;

use super::Model;

/// What is said of a record: label and value of each field that holds something.
pub fn said(model: &Model, key: Key) -> Vec<(String, String)> {
    let record = model.book.tables().get(key);
    fields(record.as_ref())
        .iter()
        .filter(|(name, _)| *name != "id")
        .map(|(name, value)| (name.replace('_', " "), words(&model.book, value)))
        .filter(|(_, value)| !value.is_empty())
        .collect()
}
