//! JSON to records, in one way for files, log entries and answers.
//!
//! Reading every kind of row is much code, and the compiler makes it anew for each sort of reader it is asked of; so all
//! that is read as JSON comes through here, as text.

use serde::de::DeserializeOwned;
use serde_json::Value;

/// What did not fit, and where.
#[derive(Debug, thiserror::Error)]
#[error("{}", self.words())]
pub struct Misfit {
    /// Where in the document (`records.wires[3].area_mm2`); empty: at its top.
    pub path: String,
    /// What the reader of JSON found, with line and column.
    pub error: serde_json::Error,
}

impl Misfit {
    /// What was found, without line and column: for what was not read from a file.
    pub fn words(&self) -> String {
        let words = self.error.to_string();
        match words.rsplit_once(" at line ") {
            Some((words, _place)) => words.to_owned(),
            None => words,
        }
    }
}

/// Reads a text that holds one value and nothing after it.
///
/// # Errors
/// [`Misfit`], at the first place that does not fit.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Misfit> {
    let mut deserializer = serde_json::Deserializer::from_str(text);
    let value = serde_path_to_error::deserialize(&mut deserializer).map_err(|error| Misfit {
        path: place(&error.path().to_string()),
        error: error.into_inner(),
    })?;
    deserializer.end().map_err(|error| Misfit {
        path: String::new(),
        error,
    })?;
    Ok(value)
}

/// Reads a value that was put together in memory.
///
/// # Errors
/// [`Misfit`], at the first place that does not fit.
pub fn read_value<T: DeserializeOwned>(value: &Value) -> Result<T, Misfit> {
    read(&value.to_string())
}

/// The reader's path without what it could not name.
fn place(path: &str) -> String {
    path.trim_end_matches(".?").trim_start_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Record;

    #[test]
    fn a_misfit_is_told_with_its_place() {
        let misfit =
            read::<Record>(r#"{"wire": {"id": "w1", "label": "W1", "area_mm2": "thick"}}"#).unwrap_err();
        assert_eq!(misfit.path, "wire.area_mm2");
        assert_eq!(misfit.words(), "invalid type: string \"thick\", expected f64");
        assert_eq!(misfit.error.line(), 1);
    }

    #[test]
    fn nothing_may_come_after_the_value() {
        assert_eq!(
            read::<bool>("true, false").unwrap_err().words(),
            "trailing characters"
        );
        assert!(read::<bool>(" true\n").unwrap());
    }

    #[test]
    fn figures_put_together_in_memory_come_back_to_the_last_bit() {
        let figure = 0.1 + 0.2;
        assert_eq!(read_value::<f64>(&serde_json::json!(figure)).unwrap(), figure);
    }
}
