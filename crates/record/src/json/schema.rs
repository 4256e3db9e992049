//! The JSON Schema of the document.

use std::collections::HashMap;

use serde_json::Value;

/// The schema as written into `assets/` by the tests, which hold it equal to [`generated`]: the program need not carry the
/// generator.
const WRITTEN: &str = include_str!("../../../../assets/workbook.schema.json");

/// The JSON Schema (draft 2020-12) of the document.
pub fn schema() -> Value {
    // A test reads it; there is no other file to fall back on.
    serde_json::from_str(WRITTEN).unwrap_or_default()
}

/// The schema as the code makes it.
#[cfg(test)]
pub(super) fn generated() -> Value {
    schemars::generate::SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<super::Document>()
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
