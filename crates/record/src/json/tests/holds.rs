//! What is written holds against the schema: as much of JSON Schema as the schema uses.

use serde_json::Value;

use crate::{
    json::{schema, write},
    sample,
};

/// What is wrong with `value`, with its path; nothing if it holds.
fn faults(root: &Value, schema: &Value, value: &Value, path: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(to) = schema.get("$ref").and_then(Value::as_str) {
        let target = root.pointer(to.trim_start_matches('#')).unwrap();
        found.extend(faults(root, target, value, path));
    }
    for key in ["oneOf", "anyOf"] {
        if let Some(list) = schema.get(key).and_then(Value::as_array) {
            let fits = list
                .iter()
                .filter(|s| faults(root, s, value, path).is_empty())
                .count();
            if fits == 0 || (key == "oneOf" && fits != 1) {
                found.push(format!("{path}: fits {fits} of {key}"));
            }
        }
    }
    if schema.get("const").is_some_and(|c| c != value) {
        found.push(format!("{path}: is not the constant"));
    }
    if schema
        .get("enum")
        .and_then(Value::as_array)
        .is_some_and(|list| !list.contains(value))
    {
        found.push(format!("{path}: {value} is not one of the list"));
    }
    let is = |kind: &str| match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        other => panic!("the schema has {other}"),
    };
    let fits = match schema.get("type") {
        None => true,
        Some(Value::Array(kinds)) => kinds.iter().filter_map(Value::as_str).any(is),
        Some(kind) => is(kind.as_str().unwrap()),
    };
    if !fits {
        found.push(format!("{path}: {value} is not {}", schema["type"]));
    }
    if let (Some(items), Some(list)) = (schema.get("items"), value.as_array()) {
        for (at, item) in list.iter().enumerate() {
            found.extend(faults(root, items, item, &format!("{path}[{at}]")));
        }
    }
    let Some(fields) = value.as_object() else {
        return found;
    };
    for name in schema
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        if !fields.contains_key(name.as_str().unwrap()) {
            found.push(format!("{path}: {name} is missing"));
        }
    }
    let known = schema.get("properties").and_then(Value::as_object);
    for (name, field) in fields {
        match known.and_then(|known| known.get(name)) {
            Some(inner) => found.extend(faults(root, inner, field, &format!("{path}.{name}"))),
            None if schema.get("additionalProperties") == Some(&Value::Bool(false)) => {
                found.push(format!("{path}: {name} is not known"));
            }
            None => {}
        }
    }
    found
}

fn against_schema(text: &str) -> Vec<String> {
    let schema = schema();
    faults(&schema, &schema, &serde_json::from_str(text).unwrap(), "document")
}

#[test]
fn documents_hold_against_the_schema() {
    let (book, entries) = sample::logged();
    assert_eq!(against_schema(&write(&book, &entries)), Vec::<String>::new());
    assert_eq!(against_schema(sample::BOOK), Vec::<String>::new());
    let demo = crate::demo::entries().unwrap();
    assert_eq!(
        against_schema(&write(&sample::replay(&demo), &demo)),
        Vec::<String>::new()
    );
}

#[test]
fn misfits_do_not() {
    for (from, to) in [
        ("\"area_mm2\": 0.5", "\"area_mm2\": \"thick\""),
        ("\"label\": \"W04\"", "\"name\": \"W04\""),
        ("\"logic_supply\"", "\"logic\""),
        ("\"crimpbook_format\": 1", "\"crimpbook_format\": 2"),
        ("{\"cavity\": \"pba1\"}", "{\"hole\": \"pba1\"}"),
    ] {
        let text = sample::BOOK.replacen(from, to, 1);
        assert!(
            text != sample::BOOK && !against_schema(&text).is_empty(),
            "{from}"
        );
    }
}
