//! Reading a part file.

use crimpbook_workbook::json;

use super::{FORMAT, PartFile};

/// Why a part file is not read or not used, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct PartFileError(pub String);

/// Reads a part file.
///
/// # Errors
/// It is no part file, a newer one, or holds anything but one unit and what it is made of.
pub fn read(text: &str) -> Result<PartFile, PartFileError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let marker: serde_json::Value =
        serde_json::from_str(text).map_err(|e| PartFileError(format!("this is no JSON: {e}")))?;
    match marker.get("crimpbook_part").map(serde_json::Value::as_u64) {
        Some(Some(format)) if format == u64::from(FORMAT) => {}
        Some(Some(format)) if format > u64::from(FORMAT) => {
            return Err(PartFileError(format!(
                "it is of format {format}, this program knows {FORMAT}: take a newer program"
            )));
        }
        _ => {
            return Err(PartFileError(
                "this is no part file: crimpbook_part is missing".to_owned(),
            ));
        }
    }
    let file: PartFile =
        json::read(text).map_err(|e| PartFileError(format!("at {}: {}", e.path, e.error)))?;
    only_a_unit(&file)?;
    Ok(file)
}

fn only_a_unit(file: &PartFile) -> Result<(), PartFileError> {
    let records = &file.records;
    if records.units.len() != 1 {
        return Err(PartFileError(format!(
            "it holds {} units, not one",
            records.units.len()
        )));
    }
    let mut rest = records.clone();
    rest.units.clear();
    rest.connectors.clear();
    rest.cavities.clear();
    rest.contact_families.clear();
    rest.junctions.clear();
    rest.fuses.clear();
    rest.switches.clear();
    rest.parts.clear();
    rest.expressions.clear();
    rest.settings.clear();
    match rest.into_records().first() {
        None => super::behaviour::check(records),
        Some(other) => Err(PartFileError(format!(
            "it holds a {}, which is no part of a unit",
            other.key().kind.title()
        ))),
    }
}
