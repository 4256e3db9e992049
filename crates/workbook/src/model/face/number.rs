//! Gives the cavities their numbers.

use std::collections::HashMap;

use super::layout::{Layout, Numbering, Plan, Spot};
use super::{rings, rows};

/// The cavities, laid out and numbered; or a number that two of them would share.
pub(super) fn spots(plan: &Plan) -> Result<Vec<Spot>, String> {
    let mut spots = match &plan.layout {
        Layout::Rows(layout) => rows::spots(layout),
        Layout::Rings(layout) => rings::spots(layout),
    };
    let order = row_order(plan);
    let mut taken: HashMap<String, ()> = HashMap::new();
    for (place, spot) in spots.iter_mut().enumerate() {
        spot.number = match &plan.numbering {
            Numbering::From(first) => (first + place).to_string(),
            Numbering::Own(names) => names.get(place).cloned().unwrap_or_default(),
            Numbering::RowNames(names) => {
                let row = order.rows.get(spot.row).copied().unwrap_or(0);
                let name = names.get(row).map_or("", String::as_str);
                let width = order.counts.get(spot.row).copied().unwrap_or(0);
                let column = if order.from_right {
                    width - spot.column
                } else {
                    spot.column + 1
                };
                format!("{name}{column}")
            }
        };
        spot.big = plan.big.iter().any(|b| b.eq_ignore_ascii_case(&spot.number));
        if taken.insert(spot.number.to_lowercase(), ()).is_some() {
            return Err(spot.number.clone());
        }
    }
    Ok(spots)
}

/// For each row from the top: its place as numbered, and how wide it is.
struct RowOrder {
    rows: Vec<usize>,
    counts: Vec<usize>,
    from_right: bool,
}

fn row_order(plan: &Plan) -> RowOrder {
    match &plan.layout {
        Layout::Rows(layout) => {
            let mut rows: Vec<usize> = (0..layout.counts.len()).collect();
            if layout.from.lower {
                rows.reverse();
            }
            RowOrder {
                rows,
                counts: layout.counts.clone(),
                from_right: layout.from.right,
            }
        }
        Layout::Rings(layout) => RowOrder {
            rows: (0..layout.counts.len()).collect(),
            counts: layout.counts.clone(),
            from_right: false,
        },
    }
}
