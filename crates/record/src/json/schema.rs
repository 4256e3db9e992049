//! The JSON Schema of the document.

use std::collections::HashMap;

use schemars::generate::SchemaSettings;
use serde_json::Value;

use super::Document;

/// The JSON Schema (draft 2020-12) of the document, generated from the code.
pub fn schema() -> Value {
    SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<Document>()
        .to_value()
}

/// For each list of rows, what its fields are where they are left out.
pub(super) fn defaults() -> HashMap<String, HashMap<String, Value>> {
    let schema = schema();
    let lists = schema
        .pointer("/$defs/RecordLists/properties")
        .and_then(Value::as_object);
    let of_row = |list: &Value| {
        let row = list.pointer("/items/$ref")?.as_str()?.strip_prefix('#')?;
        let fields = schema.pointer(row)?.get("properties")?.as_object()?;
        let default = |(name, field): (&String, &Value)| Some((name.clone(), field.get("default")?.clone()));
        Some(fields.iter().filter_map(default).collect())
    };
    lists
        .into_iter()
        .flatten()
        .filter_map(|(name, list)| Some((name.clone(), of_row(list)?)))
        .collect()
}
