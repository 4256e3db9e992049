//! The document field by field, for people: made from the JSON Schema, which is made from the code.

use crimpbook_workbook::book::InOrder;
use std::fmt::Write as _;

use serde_json::{Map, Value};

const HEAD: &str = "\
# The workbook as JSON, field by field

Generated from the code by its test; do not edit. The same as a JSON Schema (draft 2020-12): `workbook.schema.json`.

- UTF-8. Numbers with a decimal point. Moments in UTC as in `2031-05-04T09:30:00Z`.
- A field that is not *needed* may be left out; it then is as its meaning says, or empty, 0, false or not known.
- A field that is not named here is refused, and the answer says where it stands.
- Ids are made once and never reused. Short ones can be written by hand (`w44`); two rows of one kind never share one.
- Each entry of `log` stands on one line, which is exactly the text that is hashed: the hash of an entry is the SHA-256 of the
  64 hexadecimal digits of the hash before it (zeros for the first), a line feed, and that line without the white space
  before it and the comma after it. `head` is the hash of the last.
";

/// The page of a schema.
pub fn page(schema: &Value) -> String {
    let mut out = HEAD.to_owned();
    section(&mut out, "The document", schema);
    let Some(defs) = schema.get("$defs").and_then(Value::as_object) else {
        return out;
    };
    if let Some(lists) = defs.get("RecordLists") {
        section(&mut out, "RecordLists", lists);
    }
    for (name, def) in defs.iter().filter(|(name, _)| *name != "RecordLists") {
        section(&mut out, name, def);
    }
    out
}

fn section(out: &mut String, name: &str, def: &Value) {
    let _ = write!(out, "\n## {name}\n\n");
    if let Some(text) = description(def) {
        let _ = writeln!(out, "{text}\n");
    }
    fields(out, def);
    variants(out, def);
    if def.get("properties").is_none() && variants_of(def).is_none() {
        let _ = writeln!(out, "Written as {}.", type_words(def));
    }
}

fn fields(out: &mut String, def: &Value) {
    let Some(properties) = def.get("properties").and_then(Value::as_object) else {
        return;
    };
    let needed = def.get("required").and_then(Value::as_array);
    let is_needed = |name: &str| needed.is_some_and(|list| list.iter().any(|n| n.as_str() == Some(name)));
    out.push_str("| field | is | needed | meaning |\n|---|---|---|---|\n");
    let mut properties: Vec<_> = properties.iter().collect();
    properties.order_by(|(name, _)| (*name != "id", *name != "label", !is_needed(name)));
    for (name, field) in properties {
        let _ = writeln!(
            out,
            "| `{name}` | {} | {} | {} |",
            type_words(field),
            if is_needed(name) { "yes" } else { "" },
            cell(description(field).unwrap_or_default()),
        );
    }
}

fn variants_of(def: &Value) -> Option<&Vec<Value>> {
    def.get("oneOf")
        .or_else(|| def.get("anyOf"))
        .and_then(Value::as_array)
}

fn variants(out: &mut String, def: &Value) {
    let words = def.get("enum").and_then(Value::as_array);
    let Some(list) = variants_of(def) else {
        if let Some(words) = words {
            out.push_str("One of these texts:");
            for word in words.iter().filter_map(Value::as_str) {
                let _ = write!(out, " `{word}`");
            }
            out.push('\n');
        }
        return;
    };
    out.push_str("One of:\n\n| written | meaning |\n|---|---|\n");
    for variant in list {
        let about = cell(description(variant).unwrap_or_default());
        if let Some(word) = variant.get("const").and_then(Value::as_str) {
            let _ = writeln!(out, "| `\"{word}\"` | {about} |");
        } else if let Some(words) = variant.get("enum").and_then(Value::as_array) {
            for word in words.iter().filter_map(Value::as_str) {
                let _ = writeln!(out, "| `\"{word}\"` | {about} |");
            }
        } else if let Some(tagged) = variant.get("properties").and_then(Value::as_object) {
            for (tag, inner) in tagged {
                let _ = writeln!(out, "| `{{\"{tag}\": …}}` | {about} {} |", inner_words(inner));
            }
        } else {
            let _ = writeln!(out, "| {} | {about} |", type_words(variant));
        }
    }
}

/// What stands behind a variant's name.
fn inner_words(inner: &Value) -> String {
    let Some(properties) = inner.get("properties").and_then(Value::as_object) else {
        return format!("… is {}.", type_words(inner));
    };
    let needed = inner.get("required").and_then(Value::as_array);
    let each: Vec<String> = properties
        .iter()
        .map(|(name, field)| {
            let needed = needed.is_some_and(|list| list.iter().any(|n| n.as_str() == Some(name)));
            format!(
                "`{name}` ({}{}): {}",
                type_words(field),
                if needed { ", needed" } else { "" },
                cell(description(field).unwrap_or_default())
            )
        })
        .collect();
    format!("… has {}", each.join(" "))
}

fn description(value: &Value) -> Option<&str> {
    value.get("description").and_then(Value::as_str)
}

/// One line that does not end a table's cell.
fn cell(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace('|', "\\|")
}

fn type_words(value: &Value) -> String {
    if let Some(name) = value
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|r| r.rsplit('/').next())
    {
        return format!("[{name}](#{})", name.to_lowercase());
    }
    if let Some(constant) = value.get("const") {
        return format!("`{constant}`");
    }
    if let Some(list) = variants_of(value) {
        // A field that may be absent is written as its type or null.
        let each: Vec<String> = list
            .iter()
            .filter(|v| v.get("type").and_then(Value::as_str) != Some("null"))
            .map(type_words)
            .collect();
        return each.join(" or ");
    }
    let names: Vec<&str> = match value.get("type") {
        Some(Value::String(name)) => vec![name],
        Some(Value::Array(names)) => names
            .iter()
            .filter_map(Value::as_str)
            .filter(|n| *n != "null")
            .collect(),
        _ => Vec::new(),
    };
    let words: Vec<String> = names
        .iter()
        .map(|name| named_type(name, value.as_object()))
        .collect();
    words.join(" or ")
}

fn named_type(name: &str, value: Option<&Map<String, Value>>) -> String {
    let get = |key: &str| value.and_then(|v| v.get(key));
    match name {
        "string" if get("format").and_then(Value::as_str) == Some("date-time") => "moment".to_owned(),
        "string" => "text".to_owned(),
        "number" => "number".to_owned(),
        "integer" => "whole number".to_owned(),
        "boolean" => "true or false".to_owned(),
        "array" => get("items").map_or("list".to_owned(), |items| {
            format!("list of {}", type_words(items))
        }),
        "object" => "object".to_owned(),
        other => other.to_owned(),
    }
}
