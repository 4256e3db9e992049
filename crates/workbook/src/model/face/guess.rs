//! A plain face for a connector that nobody has described.

use super::Face;
use super::layout::{Corner, Layout, Numbering, Plan, Rows};

/// Cavities a row of a guessed face.
const ROW: usize = 10;

impl Face {
    /// Rows of ten in the order given, marked as guessed and without a side.
    pub fn guess<'a>(numbers: impl IntoIterator<Item = &'a str>) -> Self {
        let numbers: Vec<String> = numbers.into_iter().map(str::to_owned).collect();
        let layout = Rows {
            counts: numbers.chunks(ROW).map(<[String]>::len).collect(),
            stagger: None,
            gaps_after: Vec::new(),
            gaps_below: Vec::new(),
            from: Corner {
                lower: false,
                right: false,
            },
            by_column: false,
            back_and_forth: false,
        };
        let mut spots = super::rows::spots(&layout);
        for (spot, number) in spots.iter_mut().zip(&numbers) {
            spot.number.clone_from(number);
            // Rows of a list start at its left edge.
            spot.x_half = 2 * i32::try_from(spot.column).unwrap_or(0);
            spot.x_pitch = f64::from(spot.x_half) / 2.0;
        }
        Self {
            seen_from: None,
            round: false,
            mark: None,
            guessed: true,
            plan: Plan {
                layout: Layout::Rows(layout),
                numbering: Numbering::Own(numbers),
                big: Vec::new(),
            },
            spots,
        }
    }
}
