//! Figures that cannot be.

use super::{Refusal, bad};
use crate::{Book, model::Row};

/// Highest voltage that is computed, V. Above it the wiring is for licensed people, and no business of this program.
pub(super) const MOST_V: f64 = 60.0;

/// What a figure may be.
#[derive(Debug, Clone, Copy)]
pub(super) enum Bounds {
    /// More than nothing, at most so much.
    UpTo(f64),
    /// From nothing to so much, both included.
    From0To(f64),
    /// Between the two, both included.
    Between(f64, f64),
}

impl Bounds {
    fn holds(self, value: f64) -> bool {
        match self {
            Self::UpTo(most) => value > 0.0 && value <= most,
            Self::From0To(most) => (0.0..=most).contains(&value),
            Self::Between(least, most) => (least..=most).contains(&value),
        }
    }

    fn words(self, unit: &str) -> String {
        match self {
            Self::UpTo(most) => format!("more than 0 and at most {most}{unit}"),
            Self::From0To(most) => format!("from 0 to {most}{unit}"),
            Self::Between(least, most) => format!("from {least} to {most}{unit}"),
        }
    }
}

/// Checks the figures of one row.
pub(super) struct Figures<'a, R> {
    pub book: &'a Book,
    pub row: &'a R,
}

impl<R: Row> Figures<'_, R> {
    /// Refuses a figure out of bounds. `unit` is written as it follows the number (` mm²`).
    pub fn one(&self, what: &str, value: f64, bounds: Bounds, unit: &str) -> Result<(), Refusal> {
        if bounds.holds(value) {
            return Ok(());
        }
        let problem = format!(
            "its {what} must be {}, not {value}; correct it",
            bounds.words(unit)
        );
        bad(self.book, self.row, problem)
    }

    /// The same where the figure is known.
    pub fn any(&self, what: &str, value: Option<f64>, bounds: Bounds, unit: &str) -> Result<(), Refusal> {
        value.map_or(Ok(()), |value| self.one(what, value, bounds, unit))
    }

    /// Refuses a least that is above its most.
    pub fn order(
        &self,
        least: (&str, Option<f64>),
        most: (&str, Option<f64>),
        unit: &str,
    ) -> Result<(), Refusal> {
        match (least.1, most.1) {
            (Some(low), Some(high)) if low > high => bad(
                self.book,
                self.row,
                format!(
                    "its {} ({low}{unit}) is above its {} ({high}{unit}); correct one of them",
                    least.0, most.0
                ),
            ),
            _ => Ok(()),
        }
    }
}
