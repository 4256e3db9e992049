//! Supposing that a wire fails.

use crate::screen::model::{Model, over::Over, wanted::wire_here};

/// Opens the page of the wire under the cursor.
pub fn open(model: &mut Model) {
    if let Some(wire) = wire_here(model) {
        model.over.push(Over::Suppose { wire, from: 0 });
    }
}

/// Scrolls it.
pub fn scroll(model: &mut Model, down: bool) {
    let count = match model.over.last() {
        Some(Over::Suppose { wire, .. }) => crate::screen::model::suppose::lines(model, *wire).len(),
        _ => return,
    };
    if let Some(Over::Suppose { from, .. }) = model.over.last_mut() {
        *from = if down {
            (*from + 4).min(count.saturating_sub(4))
        } else {
            from.saturating_sub(4)
        };
    }
}
