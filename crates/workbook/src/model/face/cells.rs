//! The cells as seen from one side or the other.

use super::layout::Spot;
use super::{Cell, Face, View};

impl Face {
    /// Row and place of a cavity as drawn, and the mark to count from, in words; empty where the face has neither.
    pub fn whereabouts(&self, number: &str, view: View) -> String {
        let mut words = match self.row_and_place(number, view) {
            Some((row, place)) if !self.round => format!("row {row}, place {place} from the left"),
            _ => self.round_from_mark(number, view).unwrap_or_default(),
        };
        if let Some(mark) = &self.mark {
            if !words.is_empty() {
                words.push_str("; ");
            }
            words.push_str(&format!("bar at {mark}"));
        }
        words
    }

    /// How far round its ring a cavity lies from the moulded mark, the shorter way, as looked at from `view`.
    fn round_from_mark(&self, number: &str, view: View) -> Option<String> {
        let mark = self.mark.as_deref()?;
        let spot = |number: &str| {
            let spots = self.spots.iter();
            spots.clone().find(|s| s.number.eq_ignore_ascii_case(number))
        };
        let (from, to) = (spot(mark)?, spot(number)?);
        let mut ring: Vec<&Spot> = self.spots.iter().filter(|s| s.row == to.row).collect();
        if from.row != to.row || from.number == to.number || ring.len() < 3 {
            return None;
        }
        let count = ring.len() as f64;
        let middle = |of: fn(&Spot) -> f64| ring.iter().map(|s| of(s)).sum::<f64>() / count;
        let (x, y) = (middle(|s| s.x_pitch), middle(|s| s.y_pitch));
        let mirror = if self.is_mirrored(view) { -1.0 } else { 1.0 };
        // Places count downwards, so angles grow clockwise.
        let angle = |s: &Spot| (s.y_pitch - y).atan2((s.x_pitch - x) * mirror);
        ring.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
        let at = |spot: &Spot| ring.iter().position(|s| s.number == spot.number);
        let on = (at(to)? + ring.len() - at(from)?) % ring.len();
        let back = ring.len() - on;
        Some(if on <= back {
            format!("{on} on clockwise from {mark}")
        } else {
            format!("{back} on anticlockwise from {mark}")
        })
    }

    /// The cavities as they lie when looked at from `view`, in the order of numbering: mirrored left to right from the
    /// other side. A face that states no side is taken as seen from the mating side; say so beside it.
    pub fn cells(&self, view: View) -> Vec<Cell> {
        let mirror = self.is_mirrored(view);
        let widest_half = self.spots.iter().map(|s| s.x_half).max().unwrap_or(0);
        let widest_pitch = self.spots.iter().map(|s| s.x_pitch).fold(0.0, f64::max);
        let cell = |spot: &Spot| Cell {
            number: spot.number.clone(),
            x_half: if mirror {
                widest_half - spot.x_half
            } else {
                spot.x_half
            },
            y_half: spot.y_half,
            x_pitch: if mirror {
                widest_pitch - spot.x_pitch
            } else {
                spot.x_pitch
            },
            y_pitch: spot.y_pitch,
            big: spot.big,
        };
        self.spots.iter().map(cell).collect()
    }

    /// Whether the drawing from `view` is the mirror image of what the line describes.
    pub fn is_mirrored(&self, view: View) -> bool {
        view != self.seen_from.unwrap_or(View::MatingSide)
    }

    /// Row from the top and place in it, both from 1, as counted from the left when looked at from `view`.
    ///
    /// For rings: the ring in the order of numbering and the place in it.
    pub fn row_and_place(&self, number: &str, view: View) -> Option<(usize, usize)> {
        let spot = self
            .spots
            .iter()
            .find(|s| s.number.eq_ignore_ascii_case(number))?;
        let width = self.spots.iter().filter(|s| s.row == spot.row).count();
        let place = if self.is_mirrored(view) && !self.round {
            width - spot.column
        } else {
            spot.column + 1
        };
        Some((spot.row + 1, place))
    }
}
