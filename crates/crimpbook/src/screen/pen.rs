//! Writes into a part of the screen; what lies outside of it is left out and nothing panics.

use crimpbook_workbook::model::WireColour;
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Style,
};

use super::{
    hits::{Hit, Hits},
    text,
    theme::Look,
};

/// A pen that writes within `area`; positions are counted from its upper left corner.
#[derive(Debug)]
pub struct Pen<'a> {
    buffer: &'a mut Buffer,
    area: Rect,
    look: Look,
    hits: Option<&'a mut Hits>,
}

impl<'a> Pen<'a> {
    /// A pen for the part of `buffer` within `area`.
    pub fn new(buffer: &'a mut Buffer, area: Rect, look: Look) -> Self {
        let area = area.intersection(buffer.area);
        Self {
            buffer,
            area,
            look,
            hits: None,
        }
    }

    /// The same, noting what stands where.
    pub fn marking(self, hits: &'a mut Hits) -> Self {
        Self {
            hits: Some(hits),
            ..self
        }
    }

    /// A pen for a part of this one's area.
    pub fn part(&mut self, x: u16, y: u16, width: u16, height: u16) -> Pen<'_> {
        let wanted = Rect {
            x: self.area.x.saturating_add(x),
            y: self.area.y.saturating_add(y),
            width,
            height,
        };
        let area = if x >= self.area.width || y >= self.area.height {
            Rect {
                width: 0,
                height: 0,
                ..self.area
            }
        } else {
            wanted.intersection(self.area)
        };
        Pen {
            buffer: self.buffer,
            area,
            look: self.look,
            hits: self.hits.as_deref_mut(),
        }
    }

    /// Columns.
    pub fn width(&self) -> u16 {
        self.area.width
    }

    /// Lines.
    pub fn height(&self) -> u16 {
        self.area.height
    }

    /// The look.
    pub fn look(&self) -> Look {
        self.look
    }

    /// Where a position of this pen is on the screen, if it is on it.
    pub fn at(&self, x: u16, y: u16) -> Option<Position> {
        (x < self.area.width && y < self.area.height).then(|| Position::new(self.area.x + x, self.area.y + y))
    }

    /// Writes `words`, cut at the right edge with `…`; gives the column after it.
    pub fn put(&mut self, x: u16, y: u16, words: &str, style: Style) -> u16 {
        self.put_most(x, y, u16::MAX, words, style)
    }

    /// Writes `words` in at most `most` columns; gives the column after it.
    pub fn put_most(&mut self, x: u16, y: u16, most: u16, words: &str, style: Style) -> u16 {
        if x >= self.area.width || y >= self.area.height {
            return x;
        }
        let room = usize::from((self.area.width - x).min(most));
        let spelt = self.look.spell(words);
        let cut = self.look.spell(&text::fit(&spelt, room));
        let (after, _) = self
            .buffer
            .set_stringn(self.area.x + x, self.area.y + y, cut, room, style);
        after.saturating_sub(self.area.x)
    }

    /// Writes `words` with its end at column `end` (not included); gives the column it starts in.
    pub fn put_left_of(&mut self, end: u16, y: u16, words: &str, style: Style) -> u16 {
        let wide = u16::try_from(text::width(&self.look.spell(words))).unwrap_or(u16::MAX);
        let x = end.min(self.area.width).saturating_sub(wide);
        self.put_most(x, y, end.saturating_sub(x), words, style);
        x
    }

    /// Writes lines one below the other, broken at the right edge; gives the line after them.
    pub fn paragraph(&mut self, x: u16, y: u16, words: &str, style: Style) -> u16 {
        let wide = usize::from(self.area.width.saturating_sub(x));
        let lines = text::wrap(&self.look.spell(words), wide);
        let mut line = y;
        let mut left = lines.len();
        for part in lines {
            if line >= self.area.height {
                break;
            }
            left -= 1;
            if line + 1 == self.area.height && left > 0 {
                // What has no room is not left out silently, and no word is cut for saying so.
                let whole = match part.rsplit_once(' ') {
                    Some((before, _)) if text::width(&part) >= wide => before,
                    _ => part.as_str(),
                };
                self.put(x, line, &text::fit(&format!("{whole}…"), wide), style);
            } else {
                self.put(x, line, &part, style);
            }
            line += 1;
        }
        line
    }

    /// A thin rule with a title in it.
    pub fn rule(&mut self, y: u16, title: &str) {
        self.fill(y, '─', self.look.quiet());
        if !title.is_empty() {
            let x = self.put(1, y, " ", self.look.plain());
            let x = self.put(x, y, title, self.look.strong());
            self.put(x, y, " ", self.look.plain());
        }
    }

    /// A thin rule from top to bottom.
    pub fn upright(&mut self, x: u16) {
        for y in 0..self.area.height {
            self.put_most(x, y, 1, "│", self.look.quiet());
        }
    }

    /// A line full of one character.
    pub fn fill(&mut self, y: u16, with: char, style: Style) {
        let line: String = std::iter::repeat_n(with, usize::from(self.area.width)).collect();
        self.put(0, y, &line, style);
    }

    /// Notes what a line, or a stretch of lines, stands for.
    pub fn hit(&mut self, (x, y): (u16, u16), (wide, high): (u16, u16), hit: Hit) {
        let wanted = Rect {
            x: self.area.x.saturating_add(x),
            y: self.area.y.saturating_add(y),
            width: wide,
            height: high,
        };
        let seen = wanted.intersection(self.area);
        if let Some(hits) = &mut self.hits {
            hits.put(seen, hit);
        }
    }

    /// Notes that a line stands for a row of the list.
    pub fn hit_row(&mut self, y: u16, at: usize) {
        self.hit((0, y), (self.area.width, 1), Hit::Row(at));
    }

    /// Clears everything.
    pub fn clear(&mut self) {
        if let Some(hits) = &mut self.hits {
            hits.cover(self.area);
        }
        for y in self.area.top()..self.area.bottom() {
            for x in self.area.left()..self.area.right() {
                if let Some(cell) = self.buffer.cell_mut((x, y)) {
                    cell.reset();
                }
            }
        }
    }

    /// Sets the style of a stretch of a line, whatever is written there.
    pub fn tint(&mut self, x: u16, y: u16, wide: u16, style: Style) {
        let wanted = Rect {
            x: self.area.x.saturating_add(x),
            y: self.area.y.saturating_add(y),
            width: wide,
            height: 1,
        };
        if x < self.area.width && y < self.area.height {
            self.buffer.set_style(wanted.intersection(self.area), style);
        }
    }

    /// A wire's colour: its letters, and before them a short piece of wire where colours are shown.
    pub fn wire_colour(&mut self, x: u16, y: u16, colour: WireColour, style: Style) -> u16 {
        let mut x = x;
        if self.look.colour && !self.look.ascii {
            let base = self.look.wire(colour.base);
            let tracer = self.look.wire(colour.tracer.unwrap_or(colour.base));
            x = self.put(x, y, "━", base);
            x = self.put(x, y, "━", tracer);
            x = self.put(x, y, "━", base);
            x = self.put(x, y, " ", style);
        }
        self.put(x, y, &colour.to_string(), style)
    }

    /// A bar of `done` out of `all`.
    pub fn bar(&mut self, x: u16, y: u16, wide: u16, done: usize, all: usize) {
        // A bar is full only when everything is done, and empty only when nothing is.
        let share = (usize::from(wide) * done).checked_div(all).unwrap_or(0);
        let full = share.max(usize::from(done > 0)).min(usize::from(wide));
        let solid: String = std::iter::repeat_n('━', full).collect();
        let rest: String = std::iter::repeat_n('─', usize::from(wide).saturating_sub(full)).collect();
        let x = self.put(x, y, &solid, self.look.accent());
        self.put(x, y, &rest, self.look.quiet());
    }
}
