//! What was drawn where, for a click: collected with each frame, so that a click is on what was seen.

use crimpbook_workbook::model::{Cavity, Id};
use ratatui::layout::{Position, Rect};

use super::action::Where;

/// What a part of the screen stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hit {
    /// The name of a screen.
    Screen(Where),
    /// A row of the list shown, or of the finder where that lies over it.
    Row(usize),
    /// A cavity.
    Cavity(Id<Cavity>),
}

/// The parts of a frame.
#[derive(Debug, Clone, Default)]
pub struct Hits(Vec<(Rect, Option<Hit>)>);

impl Hits {
    /// What stands there.
    pub fn at(&self, x: u16, y: u16) -> Option<Hit> {
        let there = |(area, _): &&(Rect, Option<Hit>)| area.contains(Position::new(x, y));
        self.0.iter().rev().find(there).and_then(|(_, hit)| *hit)
    }

    pub(super) fn put(&mut self, area: Rect, hit: Hit) {
        self.0.push((area, Some(hit)));
    }

    /// Something is drawn over what was there.
    pub(super) fn cover(&mut self, area: Rect) {
        self.0.push((area, None));
    }
}
