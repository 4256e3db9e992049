//! Rules with what breaks them: a line each, the one under the cursor in full below.

use crate::screen::{
    action::{Do, key_of},
    model::{
        Model,
        rules::{Line, lines},
        written,
    },
    pen::Pen,
    text,
    view::first_row,
};

/// Columns of the word before a line.
const WHAT: u16 = 15;
/// Lines of the one under the cursor, in full.
const FULL: u16 = 5;

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(lines) = lines(model) else {
        pen.put(2, 0, "checking: every rule is being proven …", look.quiet());
        return;
    };
    let title = "Rules over every position of the switches and every single fault";
    let cursor = model.states.rule_at.min(lines.len().saturating_sub(1));
    let full = lines.get(cursor).map_or_else(String::new, |line| {
        let gap = if line.what.is_empty() { "" } else { "  " };
        format!("{}{gap}{}", line.what, line.words)
    });
    let lines: Vec<&Line> = lines.iter().collect();
    list(pen, (title, WHAT), &lines, cursor, &full);
}

/// What is written down.
pub fn written(model: &Model, pen: &mut Pen<'_>) {
    let rows = written::rows(model);
    let lines: Vec<&Line> = rows.iter().map(|row| &row.line).collect();
    let cursor = model.states.written_at.min(rows.len().saturating_sub(1));
    let full = rows
        .get(cursor)
        .map_or_else(String::new, |row| written::full(model, row));
    let [change, add, remove] = [Do::Edit, Do::Add, Do::Remove].map(key_of);
    let title = format!("As written: {change} changes, {add} adds, {remove} removes");
    list(pen, (&title, 0), &lines, cursor, &full);
}

/// Lines, each with so many columns for the word before it, and the one under the cursor in full below.
fn list(pen: &mut Pen<'_>, (title, words): (&str, u16), lines: &[&Line], cursor: usize, in_full: &str) {
    let look = pen.look();
    let (width, height) = (pen.width(), pen.height());
    let full = if height >= 12 { FULL } else { 0 };
    let room = usize::from(height.saturating_sub(full + 1));
    let top = first_row(cursor, lines.len(), room);
    let left = lines.len().saturating_sub(top + room);
    let below = match left {
        0 => String::new(),
        left => format!(" {} below ", text::count(left, "line more", "lines more")),
    };
    let free = width.saturating_sub(2 + u16::try_from(text::width(&below)).unwrap_or(width));
    pen.put_most(1, 0, free, title, look.quiet());
    pen.put_left_of(width.saturating_sub(1), 0, &below, look.focus());
    for (y, (at, line)) in (1u16..).zip(lines.iter().enumerate().skip(top).take(room)) {
        pen.hit_row(y, at);
        let style = if line.heading {
            look.accent()
        } else if line.grave {
            look.strong()
        } else {
            look.plain()
        };
        let (what, x) = match (line.heading, line.what.is_empty()) {
            (true, true) => (1, 1),
            (true, false) => (1, 2 + u16::try_from(text::width(&line.what)).unwrap_or(0)),
            _ => (3, 3 + words),
        };
        pen.put_most(what, y, WHAT, &line.what, style);
        pen.put(x, y, &line.words, style);
        if at == cursor {
            pen.put(0, y, "▸", look.accent());
            pen.tint(1, y, width.saturating_sub(1), look.focus());
        }
    }
    if full > 0 {
        let mut below = pen.part(0, height - full, width, full);
        below.rule(0, "");
        below.paragraph(1, 1, in_full, look.plain());
    }
}
