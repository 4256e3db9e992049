//! The face of a connector in one line of words, and where its cavities lie.
//!
//! ```text
//! rows 7 7 7 7 7 staggered, from lower left, mark at 1, seen from mating side
//! rows 7 7, gap after 3, from upper left, seen from wire side
//! rows 6 6 6 6, big 16 18, from upper left, column by column, back and forth
//! rows 4 4, from upper right, rows called A B, seen from mating side
//! ring 7 around 1, from top, clockwise, seen from mating side
//! ```
//!
//! Rows are listed from the top, and lie centred under each other; `staggered` moves every second one half a pitch to the
//! right (`staggered left`: to the left). `gap after 3` leaves room right of the third column, `gap below 1` under the
//! first row. Numbers run from the corner named, row by row unless said otherwise.
//!
//! Rings are listed in the order in which they are numbered: `ring 7 around 1` numbers the ring 1 to 7 and the centre 8,
//! `ring 1 7` the centre 1 and the ring 2 to 8. `from top` puts the first cavity at the top, `from upper right` half a
//! step after it. All of it is as seen from the side that the line states; a line may state none.

mod cells;
mod guess;
mod layout;
mod number;
mod parse;
mod print;
mod rings;
mod rows;
mod walk;
mod words;

use super::View;
use layout::{Plan, Spot};
pub use walk::Direction;

/// Most cavities a face may have.
pub const MOST_CAVITIES: usize = 400;

/// One cavity on a face.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// The cavity's number.
    pub number: String,
    /// Left to right, in half cavity pitches, from the side looked at. No two cells share a place.
    pub x_half: i32,
    /// Top to bottom, in half cavity pitches.
    pub y_half: i32,
    /// Left to right in cavity pitches from the left edge; exact where `x_half` is rounded (rings).
    pub x_pitch: f64,
    /// Top to bottom in cavity pitches from the upper edge.
    pub y_pitch: f64,
    /// Whether it is a big cavity.
    pub big: bool,
}

/// A face: its cavities as they lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Face {
    /// The side its line describes; none: not stated.
    pub seen_from: Option<View>,
    /// Whether the shell is round.
    pub round: bool,
    /// The cavity beside which the moulded mark stands.
    pub mark: Option<String>,
    /// Nobody described this face: it is a plain list of the cavities, not what the plastic looks like.
    pub guessed: bool,
    /// What the line says.
    plan: Plan,
    /// Cavities as seen from `seen_from`, in the order of their numbering.
    spots: Vec<Spot>,
}

/// Why a line is not a face.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("face, at character {at}: {problem}")]
pub struct FaceError {
    /// Character, from 1.
    pub at: usize,
    /// What was found and what was expected.
    pub problem: String,
}

impl Face {
    /// Reads a line such as `rows 7 7 7 7 7 staggered, from lower left, seen from mating side`.
    ///
    /// # Errors
    /// The character at which it stops making sense, and what would.
    pub fn parse(line: &str) -> Result<Self, FaceError> {
        parse::face(line)
    }

    /// The numbers of its cavities, in the order of numbering.
    pub fn numbers(&self) -> impl Iterator<Item = &str> {
        self.spots.iter().map(|spot| spot.number.as_str())
    }

    /// How many cavities it has.
    pub fn len(&self) -> usize {
        self.spots.len()
    }

    /// Whether it has none (a connector without cavities).
    pub fn is_empty(&self) -> bool {
        self.spots.is_empty()
    }
}

#[cfg(test)]
mod tests;
