//! Units.

use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{IdMaker, Unit},
};

/// Adds a unit, called `label` for short.
///
/// # Errors
/// None of its own; the door refuses a label that is taken.
pub fn add_unit(_book: &Book, ids: &mut IdMaker, label: &str, name: &str) -> Result<Edit, Refusal> {
    let unit = Unit {
        id: ids.make(),
        label: label.trim().to_owned(),
        name: name.trim().to_owned(),
        zone: None,
        manual: None,
        serial: String::new(),
        firmware: String::new(),
        supply_note: String::new(),
        note: String::new(),
    };
    Ok(Edit::design(
        format!("{}: unit added", unit.label),
        vec![Change::make(unit)],
    ))
}
