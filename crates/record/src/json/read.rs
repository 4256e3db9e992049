//! Reading the document.

use crimpbook_workbook::json;
use serde::{Deserialize, de::DeserializeOwned};
use serde_json::Value;

use super::{Document, FORMAT, Interchange, ReadError};

/// Reads a document; nothing is taken from one that does not fit.
///
/// A byte order mark before it is passed over.
///
/// # Errors
/// [`ReadError`], in one sentence with line, column and place.
pub fn read(text: &str) -> Result<Interchange, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    // The marker alone first: a foreign or newer file is told as such, not by its first strange field.
    let marker: Marker = typed(text)?;
    match marker.crimpbook_format {
        None => return Err(ReadError::Foreign),
        Some(Value::Number(number)) => match number.as_u64() {
            Some(found) if found > u64::from(FORMAT) => {
                return Err(ReadError::Newer { found, known: FORMAT });
            }
            Some(found) if found == u64::from(FORMAT) => {}
            _ => return Err(ReadError::Foreign),
        },
        Some(_) => return Err(ReadError::Foreign),
    }
    let document: Document = typed(text)?;
    Ok(Interchange {
        records: document.records,
        log: document.log,
        head: document.head,
    })
}

/// The one field that tells a workbook from other JSON; the others are read past.
#[derive(Deserialize)]
#[serde(from = "Value")]
struct Marker {
    crimpbook_format: Option<Value>,
}

impl From<Value> for Marker {
    fn from(value: Value) -> Self {
        Self {
            crimpbook_format: value.get("crimpbook_format").cloned(),
        }
    }
}

fn typed<T: DeserializeOwned>(text: &str) -> Result<T, ReadError> {
    json::read(text).map_err(ReadError::misfit)
}
