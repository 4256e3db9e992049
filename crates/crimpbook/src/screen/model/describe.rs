//! A record field by field, in words: what cards and the log show.

use crimpbook_workbook::model::{AnyRow, Id, Key, Kind, Record};

use super::Model;

/// A record's fields by name, as the file has them.
pub type Fields = serde_json::Map<String, serde_json::Value>;

/// A record's fields.
pub fn fields(record: Option<&Record>) -> Fields {
    let Some(Ok(serde_json::Value::Object(by_kind))) = record.map(serde_json::to_value) else {
        return Fields::new();
    };
    match by_kind.into_iter().next() {
        Some((_, serde_json::Value::Object(fields))) => fields,
        _ => Fields::new(),
    }
}

/// What is said of a record: label and value of each field that holds something.
pub fn said(model: &Model, key: Key) -> Vec<(String, String)> {
    let record = model.book.tables().get(key);
    fields(record.as_ref())
        .iter()
        .filter(|(name, _)| *name != "id")
        .map(|(name, value)| (name.replace('_', " "), words(model, value)))
        .filter(|(_, value)| !value.is_empty())
        .collect()
}

/// A field's value in words: ids become names.
pub fn words(model: &Model, value: &serde_json::Value) -> String {
    use serde_json::Value;
    match value {
        Value::Null => String::new(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Number(n) => n.to_string(),
        Value::String(text) => name_of(model, text).unwrap_or_else(|| text.clone()),
        Value::Array(list) => list
            .iter()
            .map(|item| words(model, item))
            .collect::<Vec<_>>()
            .join(", "),
        Value::Object(map) => map
            .iter()
            .filter(|(_, value)| !value.is_null())
            .map(|(name, value)| {
                let value = words(model, value);
                if matches!(name.as_str(), "cavity" | "junction") {
                    value
                } else {
                    format!("{} {value}", name.replace('_', " "))
                }
            })
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// The name of the record whose id a text is, if it is one.
fn name_of(model: &Model, text: &str) -> Option<String> {
    let id: Id<AnyRow> = text.parse().ok()?;
    Kind::ALL.iter().find_map(|kind| {
        let key = Key { kind: *kind, id };
        model.book.tables().has(key).then(|| model.book.name_of(key))
    })
}
