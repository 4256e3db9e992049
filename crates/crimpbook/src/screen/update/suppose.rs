//! Supposing that a wire fails.

use crate::screen::model::{Model, over::Over, wanted::wire_here};

/// Opens the page of the wire under the cursor.
pub fn open(model: &mut Model) {
    if let Some(wire) = wire_here(model) {
        model.over.push(Over::Suppose { wire, from: 0 });
    }
}
