//! Missing facts: what is asked, manual by manual, and the answer being typed under its question.

use ratatui::layout::Position;

use super::{dialog, first_row};
use crate::screen::{
    action::{Do, key_of},
    model::{Model, asking::Asking},
    pen::Pen,
    text::{self, count},
};

/// Column in which questions begin.
const WORDS: u16 = 4;

/// A line of the list.
enum Line {
    Heading(String),
    Question(usize),
    Field,
    Said(bool, String),
}

pub fn draw(model: &Model, body: &mut Pen<'_>, asking: &Asking) -> Option<Position> {
    let lines = body.height();
    let mut title = count(asking.list.len(), "fact is missing", "facts are missing");
    if asking.answered > 0 {
        title = format!("{title}, {} answered", asking.answered);
    }
    if model.findings.running {
        title.push_str(" (checking again)");
    }
    let mut pen = dialog::drawer(body, lines, &title);
    let look = pen.look();
    if asking.list.is_empty() {
        let words = if model.findings.running {
            "All of it is told. Whether more is needed now is being checked."
        } else {
            "Nothing is missing: every check has what it needs."
        };
        pen.paragraph(1, 1, words, look.plain());
        return None;
    }
    let rows = rows(model, asking, pen.width());
    let room = usize::from(pen.height());
    let cursor = rows
        .iter()
        .position(|row| matches!(row, Line::Field))
        .unwrap_or(0);
    let from = first_row(cursor, rows.len(), room);
    let mut place = None;
    for (y, row) in (0u16..).zip(rows.iter().skip(from).take(room)) {
        match row {
            Line::Heading(words) => {
                pen.put(1, y, words, look.accent());
            }
            Line::Question(at) => question(&mut pen, y, asking, *at),
            Line::Field => place = dialog::field(&mut pen, WORDS, y, &asking.editor),
            Line::Said(marked, words) => {
                if *marked {
                    pen.put(WORDS, y, "!", look.accent());
                }
                let style = if asking.wrong.is_some() {
                    look.strong()
                } else {
                    look.quiet()
                };
                pen.put(WORDS + 2, y, words, style);
            }
        }
    }
    more(&mut pen, from, rows.len(), room);
    place
}

/// Says at the right edge how much lies above and below what is shown.
fn more(pen: &mut Pen<'_>, from: usize, all: usize, room: usize) {
    let (end, low, look) = (pen.width(), pen.height().saturating_sub(1), pen.look());
    if from > 0 {
        pen.put_left_of(end, 0, " ↑ more above ", look.quiet());
    }
    if all > from + room {
        pen.put_left_of(end, low, " ↓ more below ", look.quiet());
    }
}

fn rows(model: &Model, asking: &Asking, width: u16) -> Vec<Line> {
    let mut rows = Vec::new();
    let mut sitting = None;
    let room = usize::from(width.saturating_sub(WORDS + 3));
    for (at, question) in asking.list.iter().enumerate() {
        if sitting != Some(&question.sitting) {
            rows.push(Line::Heading(question.sitting.words(&model.book)));
            sitting = Some(&question.sitting);
        }
        rows.push(Line::Question(at));
        if at != asking.at {
            continue;
        }
        rows.push(Line::Field);
        let said = match &asking.wrong {
            Some(wrong) => wrong.clone(),
            None => help(model, asking),
        };
        let said = text::wrap(&said, room);
        let marked = asking.wrong.is_some();
        rows.extend(
            said.into_iter()
                .enumerate()
                .map(|(nth, words)| Line::Said(marked && nth == 0, words)),
        );
    }
    rows
}

/// What may be typed, and who wants to know.
fn help(model: &Model, asking: &Asking) -> String {
    let Some(question) = asking.question() else {
        return String::new();
    };
    let wants = format!("for {}", question.checks.join(", "));
    let Some(ask) = &question.ask else {
        return format!("{} shows the place; {wants}", key_of(Do::ShowPlace));
    };
    let choices = ask.choices(&model.book);
    if choices.is_empty() {
        return format!("as in {}; {wants}", ask.field.example);
    }
    const MOST: usize = 12;
    let typed = asking.editor.text().to_lowercase();
    let fits = choices.iter().filter(|c| c.to_lowercase().starts_with(&typed));
    let mut shown: Vec<&str> = fits.take(MOST).map(String::as_str).collect();
    if choices.len() > MOST && shown.len() == MOST {
        shown.push("…");
    }
    format!("{}; {wants}", shown.join(", "))
}

fn question(pen: &mut Pen<'_>, y: u16, asking: &Asking, at: usize) {
    let look = pen.look();
    let Some(question) = asking.list.get(at) else {
        return;
    };
    let here = at == asking.at;
    let end = pen.width().saturating_sub(1);
    let page = if question.page.is_empty() {
        end
    } else {
        pen.put_left_of(end, y, &format!("page {}", question.page), look.quiet())
    };
    let room = page.saturating_sub(WORDS + 1);
    if here {
        pen.put(2, y, "▸", look.accent());
    }
    let style = if here { look.strong() } else { look.plain() };
    pen.put_most(WORDS, y, room, &question.words, style);
}
