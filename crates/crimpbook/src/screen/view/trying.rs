//! What is tried, and what it costs.

use super::suppose::draw_line;
use crate::screen::{
    model::{
        Model,
        trying::{lines, mark},
    },
    pen::Pen,
    text,
};

pub fn draw(model: &Model, pen: &mut Pen<'_>, from: usize) {
    let look = pen.look();
    let title = mark(model).unwrap_or_default();
    pen.put(1, 0, &format!("{title}: what it would cost"), look.strong());
    let lines = lines(model);
    let height = pen.height();
    let (mut y, mut shown) = (1, from.min(lines.len()));
    for line in lines.iter().skip(from) {
        if y >= height {
            break;
        }
        y = draw_line(pen, y, line);
        shown += 1;
    }
    let left = lines.len().saturating_sub(shown);
    if left > 0 {
        let words = format!(" {} below ", text::count(left, "line more", "lines more"));
        pen.put_left_of(pen.width().saturating_sub(1), 0, &words, look.focus());
    }
}
