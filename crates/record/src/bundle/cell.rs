//! A field's value as a cell and back.
//!
//! Numbers, `true` and `false` stand as they are, lists and objects as JSON. A text stands as it is where no tool can
//! mistake it; else as a JSON text in quotation marks, with everything that acts unseen written as `\u` and its
//! four hex digits. So no cell begins a formula, and every one comes back as it was.

use serde_json::Value;

use super::columns::Is;
use crate::{csv::begins_formula, text::acts_unseen};

/// A value as a cell; nothing is an empty cell.
pub fn write(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) if is_plain(text) => text.clone(),
        other => escaped(&other.to_string()),
    }
}

/// JSON with what acts unseen written out.
pub fn escaped(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if acts_unseen(c) {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(c);
        }
    }
    out
}

/// Whether a text can be mistaken for nothing else.
fn is_plain(text: &str) -> bool {
    !text.is_empty()
        && !begins_formula(text)
        && !text.starts_with(['\'', '"', '{', '['])
        && text.trim() == text
        && !text.chars().any(acts_unseen)
}

/// A cell of a field as its value; an empty cell says nothing.
///
/// # Errors
/// A sentence.
pub fn read(cell: &str, is: Is) -> Result<Option<Value>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    let json =
        |what: &str| serde_json::from_str(cell).map_err(|e| format!("is {what} that cannot be read ({e})"));
    if cell.starts_with(['"', '{', '[']) {
        return json("JSON").map(Some);
    }
    match is {
        Is::Number => json("a number").map(Some),
        Is::Flag => json("true or false").map(Some),
        Is::Text => Ok(Some(Value::String(cell.to_owned()))),
    }
}
