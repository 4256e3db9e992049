//! A form: labels and texts in a drawer, what is wrong right under its field.

use ratatui::layout::Position;

use super::{dialog, first_row};
use crate::screen::{
    form::{Field, Form},
    pen::Pen,
    text,
};

/// Columns of the labels.
const LABELS: u16 = 18;

/// A line of the drawer.
enum Line {
    Field(usize),
    /// Points at the character that is wrong in the field above.
    Pointer(usize),
    /// What is wrong with the field above; the first of its lines is marked.
    Wrong(&'static str, String),
    /// What fits what is typed, or an example.
    Help(String),
}

/// Columns of how many more there are.
const MORE: usize = 10;
/// Lines of what may be chosen, at most.
const OFFERED: usize = 3;

/// An example, or what may be chosen.
fn help(field: &Field, room: usize) -> Vec<String> {
    let offers = field.offers();
    if offers.is_empty() {
        return vec![field.hint.to_owned()];
    }
    let all = offers.len();
    let mut lines: Vec<String> = Vec::new();
    // What an expression can begin with is no example of one.
    let example = field.is_expression() && field.editor.is_empty();
    let most = OFFERED - usize::from(example);
    let mut shown = 0;
    for offer in offers {
        let full = lines.len() == most;
        let kept = if full { MORE } else { 0 };
        match lines.last_mut() {
            Some(line) if text::width(line) + 2 + text::width(&offer) + kept <= room => {
                line.push_str("  ");
                line.push_str(&offer);
            }
            _ if full => break,
            _ => lines.push(offer),
        }
        shown += 1;
    }
    if let (Some(last), true) = (lines.last_mut(), shown < all) {
        last.push_str(&format!("  +{} more", all - shown));
    }
    if example {
        lines.insert(0, field.hint.to_owned());
    }
    lines
}

pub fn draw(body: &mut Pen<'_>, form: &Form) -> Option<Position> {
    let look = body.look();
    let mut lines = Vec::new();
    for (at, field) in form.fields.iter().enumerate() {
        lines.push(Line::Field(at));
        if let Some(wrong) = &field.wrong {
            // In a field that is left, text stands elsewhere.
            lines.extend(
                field
                    .wrong_at
                    .filter(|_| at == form.at)
                    .map(|_| Line::Pointer(at)),
            );
            let room = usize::from(body.width().saturating_sub(LABELS + 4));
            let marks = std::iter::once("! ").chain(std::iter::repeat("  "));
            lines.extend(
                marks
                    .zip(text::wrap(wrong, room))
                    .map(|(mark, words)| Line::Wrong(mark, words)),
            );
        } else if at == form.at {
            let room = usize::from(body.width().saturating_sub(LABELS + 4));
            lines.extend(help(field, room).into_iter().map(Line::Help));
        }
    }
    let wrong = form
        .wrong
        .as_deref()
        .map(|w| text::wrap(w, usize::from(body.width().saturating_sub(4))));
    let extra = wrong.as_ref().map_or(0, Vec::len);
    let wanted = u16::try_from(lines.len() + extra).unwrap_or(u16::MAX);
    let mut pen = dialog::drawer(body, wanted, &form.title);
    let room = usize::from(pen.height()).saturating_sub(extra);
    let here = lines
        .iter()
        .position(|line| matches!(line, Line::Field(at) if *at == form.at))
        .unwrap_or(0);
    let from = first_row(here + 1, lines.len(), room);
    let mut cursor = None;
    for (y, line) in (0u16..).zip(lines.iter().skip(from).take(room)) {
        match line {
            Line::Field(at) => {
                let Some(field) = form.fields.get(*at) else {
                    continue;
                };
                let focus = *at == form.at;
                let style = if focus { look.strong() } else { look.plain() };
                pen.put_most(2, y, LABELS - 3, field.label, style);
                if focus {
                    cursor = dialog::field(&mut pen, LABELS, y, &field.editor);
                } else {
                    pen.put(LABELS + 2, y, &field.editor.text(), look.plain());
                }
            }
            Line::Pointer(at) => {
                let Some(field) = form.fields.get(*at) else {
                    continue;
                };
                let before = field.wrong_at.unwrap_or(0);
                if let Some(x) = dialog::column(&pen, LABELS, &field.editor, before) {
                    pen.put(x, y, "^", look.accent());
                }
            }
            Line::Wrong(mark, words) => {
                let x = pen.put(LABELS, y, mark, look.accent());
                pen.put(x, y, words, look.strong());
            }
            Line::Help(words) => {
                pen.put(LABELS + 2, y, words, look.quiet());
            }
        }
    }
    if let Some(wrong) = wrong {
        let below = u16::try_from(room.min(lines.len())).unwrap_or(0);
        for (y, line) in (below..).zip(wrong) {
            let x = pen.put(1, y, "! ", look.accent());
            pen.put(x, y, &line, look.strong());
        }
    }
    if from > 0 || from + room < lines.len() {
        let place = format!("{} of {}", form.at + 1, form.fields.len());
        let height = pen.height();
        let width = pen.width();
        pen.put_left_of(
            width.saturating_sub(1),
            height.saturating_sub(1),
            &place,
            look.quiet(),
        );
    }
    cursor
}
