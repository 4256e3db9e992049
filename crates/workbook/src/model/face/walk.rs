//! Moving from cavity to cavity as they lie.

use super::{Face, View, layout::Spot};

/// A step on the face as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Upwards.
    Up,
    /// Downwards.
    Down,
}

impl Face {
    /// The cavity next to `number` in a direction, as drawn from `view`; none at the edge.
    pub fn neighbour(&self, number: &str, view: View, direction: Direction) -> Option<&str> {
        let at = self
            .spots
            .iter()
            .find(|s| s.number.eq_ignore_ascii_case(number))?;
        let direction = match (direction, self.is_mirrored(view)) {
            (Direction::Left, true) => Direction::Right,
            (Direction::Right, true) => Direction::Left,
            (same, _) => same,
        };
        let found = if self.round {
            self.around(at, direction)
        } else {
            self.along_rows(at, direction)
        };
        found.map(|spot| spot.number.as_str())
    }

    fn along_rows(&self, at: &Spot, direction: Direction) -> Option<&Spot> {
        let (row, column) = match direction {
            Direction::Left => (at.row, at.column.checked_sub(1)?),
            Direction::Right => (at.row, at.column + 1),
            Direction::Up => (at.row.checked_sub(1)?, at.column),
            Direction::Down => (at.row + 1, at.column),
        };
        let in_row = self.spots.iter().filter(|s| s.row == row);
        match direction {
            Direction::Left | Direction::Right => in_row.into_iter().find(|s| s.column == column),
            // Staggered rows: of two equally near ones the same column, so that going down and up comes back.
            Direction::Up | Direction::Down => {
                in_row.min_by_key(|s| (s.x_half.abs_diff(at.x_half), s.column.abs_diff(column), s.column))
            }
        }
    }

    fn around(&self, at: &Spot, direction: Direction) -> Option<&Spot> {
        let (dx, dy) = match direction {
            Direction::Left => (-1.0, 0.0),
            Direction::Right => (1.0, 0.0),
            Direction::Up => (0.0, -1.0),
            Direction::Down => (0.0, 1.0),
        };
        let offset = |spot: &Spot| {
            let (x, y) = (spot.x_pitch - at.x_pitch, spot.y_pitch - at.y_pitch);
            (x * dx + y * dy, y * dx - x * dy)
        };
        // Rounding must not make a level neighbour count as ahead.
        let small = 1e-6;
        // The nearest one within 45° of the direction, one edge of that left out, so that each cavity lies in one
        // direction only; where there is none, one that lies further aside.
        let nearest = |within: f64| {
            self.spots
                .iter()
                .map(|spot| (offset(spot), spot))
                .filter(|((ahead, aside), _)| {
                    *ahead > small && *aside > small - within * *ahead && *aside <= within * *ahead + small
                })
                .min_by_key(|((ahead, aside), _)| ((ahead * ahead + aside * aside) * 1e6).round() as i64)
                .map(|(_, spot)| spot)
        };
        nearest(1.0).or_else(|| nearest(f64::MAX))
    }
}
