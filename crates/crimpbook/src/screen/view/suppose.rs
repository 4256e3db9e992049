//! What happens if a wire fails.

use crimpbook_workbook::model::{Id, Wire};

use crate::screen::{
    model::{
        Model,
        suppose::{Line, Look, lines},
    },
    pen::Pen,
    text,
};

/// Columns that what is left further down takes.
const MORE: u16 = 24;
/// Columns that the word before a line takes.
const WHAT: u16 = 10;

pub fn draw(model: &Model, pen: &mut Pen<'_>, wire: Id<Wire>, from: usize) {
    let look = pen.look();
    let x = pen.put(
        1,
        0,
        &format!("Suppose {} fails", model.book.label_of(wire)),
        look.strong(),
    ) + 2;
    // The right end says how much is left.
    let room = pen.width().saturating_sub(x + MORE);
    if let Some(record) = model.book.get(wire) {
        let run = format!(
            "{} → {}  {}",
            model.book.end_name(record.from),
            model.book.end_name(record.to),
            record.signal
        );
        pen.put_most(x, 0, room, &run, look.plain());
    }
    let lines = lines(model, wire);
    let height = pen.height();
    let mut y = 1;
    let mut shown = from.min(lines.len());
    for line in lines.iter().skip(from) {
        if y >= height {
            break;
        }
        let after = draw_line(pen, y, line);
        shown += 1;
        y = after;
    }
    let left = lines.len().saturating_sub(shown);
    if left > 0 {
        let words = format!(" {} below ", text::count(left, "line more", "lines more"));
        pen.put_left_of(pen.width() - 1, 0, &words, look.focus());
    } else if from > 0 {
        pen.put_left_of(pen.width() - 1, 0, " the end ", look.focus());
    }
}

pub(super) fn draw_line(pen: &mut Pen<'_>, y: u16, line: &Line) -> u16 {
    let look = pen.look();
    match line.look {
        Look::Empty => return y + 1,
        Look::Heading => return pen.paragraph(1, y, &line.words, look.accent()),
        Look::States => return pen.paragraph(2, y, &line.words, look.strong()),
        _ => {}
    }
    let x = if line.what.is_empty() { 1 } else { 4 };
    let (x, words) = if line.what.is_empty() && line.look == Look::Words {
        (4, &line.words)
    } else if line.what.is_empty() {
        (x, &line.words)
    } else {
        let style = if line.look == Look::Grave {
            look.strong()
        } else {
            look.quiet()
        };
        pen.put(x, y, line.what, style);
        ((x + WHAT).max(x + text::width(line.what) as u16 + 1), &line.words)
    };
    let style = match line.look {
        Look::Grave => look.strong(),
        Look::Quiet => look.quiet(),
        _ => look.plain(),
    };
    pen.paragraph(x, y, words, style)
}
