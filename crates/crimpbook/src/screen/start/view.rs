//! Draws the first screen.

use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
};

use super::{Form, KEYS, Part, Start};
use crate::screen::{editor::Editor, pen::Pen, text, view::field};

/// Draws it; gives where the terminal's own cursor belongs.
pub fn draw(start: &Start, area: Rect, buffer: &mut Buffer) -> Option<Position> {
    let mut pen = Pen::new(buffer, area, start.look);
    let look = start.look;
    pen.put(2, 0, "Crimpbook", look.strong());
    pen.rule(1, "");
    pen.put(
        1,
        2,
        "A workbook for the control wiring of one vehicle.",
        look.plain(),
    );
    let (width, height) = (pen.width(), pen.height());
    // What did not go is told whole, at the cost of the list.
    let note = start.note.as_ref().map(|note| look.spell(&format!("› {note}")));
    let note = note.map(|note| text::wrap(&note, usize::from(width.saturating_sub(2))));
    let told = note.as_ref().map_or(1, |lines| lines.len().max(1));
    let told = u16::try_from(told).unwrap_or(u16::MAX).min(height);
    let foot = height.saturating_sub(told.saturating_add(2));
    let mut body = pen.part(0, 4, width, foot.saturating_sub(4));
    let cursor = match &start.form {
        Some(form) => naming(form, &mut body),
        None => {
            list(start, &mut body);
            None
        }
    };
    let caution = "Control wiring up to 60 V DC only. A passed check is not an approval.";
    match &note {
        Some(lines) => {
            for (y, line) in (foot..).zip(lines) {
                pen.put(1, y, line, look.strong());
            }
        }
        None => {
            pen.put(1, foot, caution, look.quiet());
        }
    }
    keys(start, &mut pen.part(0, height.saturating_sub(1), width, 1));
    look.finish(buffer);
    cursor
}

/// The rows, as many as there is room for around the cursor.
fn list(start: &Start, pen: &mut Pen<'_>) {
    let look = pen.look();
    let mut lines: Vec<(Option<usize>, String, String)> = Vec::new();
    let mut part = Part::Begin;
    for (at, row) in start.rows.iter().enumerate() {
        if row.part != part {
            part = row.part;
            let heading = match part {
                Part::Begin => "",
                Part::Here => "workbooks in this folder",
                Part::Before => "opened before",
            };
            lines.push((None, String::new(), String::new()));
            lines.push((None, heading.to_owned(), String::new()));
        }
        lines.push((Some(at), row.words.clone(), row.more.clone()));
    }
    let here = lines
        .iter()
        .position(|(at, ..)| *at == Some(start.at))
        .unwrap_or(0);
    let room = usize::from(pen.height()).max(1);
    let first = (here + 1).saturating_sub(room);
    let wide = pen.width();
    for (y, (at, words, more)) in (0u16..).zip(lines.iter().skip(first).take(room)) {
        if at.is_none() {
            pen.put(1, y, words, look.strong());
            continue;
        }
        let focus = *at == Some(start.at);
        if focus {
            pen.put(0, y, "▸", look.accent());
        }
        let right = u16::try_from(text::width(more)).unwrap_or(wide);
        pen.put_most(2, y, wide.saturating_sub(right + 5), words, look.plain());
        pen.put_left_of(wide.saturating_sub(1), y, more, look.quiet());
        if focus {
            pen.tint(0, y, wide, look.focus());
        }
    }
}

/// The fields of a new workbook.
fn naming(form: &Form, pen: &mut Pen<'_>) -> Option<Position> {
    let look = pen.look();
    pen.put(1, 0, "start a workbook of your own", look.strong());
    pen.put(2, 2, "vehicle", look.plain());
    pen.put(2, 4, "file", look.plain());
    match &form.file {
        None => {
            let cursor = field(pen, 12, 2, &form.vehicle);
            pen.put(12, 4, "named next", look.quiet());
            cursor
        }
        Some(file) => {
            pen.put(12, 2, &Editor::text(&form.vehicle), look.plain());
            let cursor = field(pen, 12, 4, file);
            pen.put(
                12,
                5,
                "in this folder, unless you write another one",
                look.quiet(),
            );
            cursor
        }
    }
}

fn keys(start: &Start, pen: &mut Pen<'_>) {
    let look = pen.look();
    let naming: &[(&str, &str)] = &[("Enter", "go on"), ("Esc", "back")];
    let shown = if start.form.is_some() { naming } else { KEYS };
    let mut x = 1;
    for (key, does) in shown {
        x = pen.put(x, 0, key, look.strong());
        x = pen.put(x + 1, 0, does, look.plain()) + 3;
    }
}
