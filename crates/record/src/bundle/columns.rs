//! The columns of each kind of record, from the JSON Schema.

use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::model::Kind;
use serde_json::Value;

/// What stands in a column where it is no JSON.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Is {
    /// Text.
    Text,
    /// A number.
    Number,
    /// `true` or `false`.
    Flag,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its head: the field's name.
    pub head: String,
    /// What stands in it.
    pub is: Is,
    /// Whether an empty text is what an empty cell means.
    pub empty: bool,
    /// Whether a row needs it.
    pub needed: bool,
    /// What it means.
    pub meaning: String,
}

/// The columns of a kind, the id first.
pub fn of(schema: &Value, kind: Kind) -> Vec<Column> {
    let lists = schema.pointer("/$defs/RecordLists/properties");
    let row = lists
        .and_then(|lists| lists.get(kind.name()))
        .and_then(|list| list.pointer("/items/$ref"))
        .and_then(Value::as_str)
        .and_then(|path| schema.pointer(path.trim_start_matches('#')));
    let Some(properties) = row
        .and_then(|row| row.get("properties"))
        .and_then(Value::as_object)
    else {
        return Vec::new();
    };
    let needed: Vec<&str> = row
        .and_then(|row| row.get("required"))
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    let mut columns: Vec<Column> = properties
        .iter()
        .map(|(head, field)| Column {
            head: head.clone(),
            is: is(field),
            empty: field.get("default").and_then(Value::as_str) == Some(""),
            needed: needed.contains(&head.as_str()),
            meaning: field
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or_default()
                .replace('\n', " "),
        })
        .collect();
    columns.order_by(|c| (c.head != "id", c.head != "label", c.head != "number", !c.needed));
    columns
}

fn is(field: &Value) -> Is {
    let named = |name: &str| match field.get("type") {
        Some(Value::String(one)) => one == name,
        Some(Value::Array(many)) => many.iter().any(|n| n.as_str() == Some(name)),
        _ => false,
    };
    if named("number") || named("integer") {
        Is::Number
    } else if named("boolean") {
        Is::Flag
    } else {
        Is::Text
    }
}
