//! Finding a fault: what is typed at the foot, what comes of it above, and the face with the cavity to measure.

use std::collections::BTreeSet;

use crimpbook_workbook::model::{Cavity, Id, View};
use ratatui::layout::Position;

use super::{
    dialog,
    face::{Drawing, draw_face, side},
    first_row,
    suppose::draw_line,
};
use crate::screen::{
    model::{Model, hunt::Hunt},
    pen::Pen,
    text,
};

/// Lines at the foot besides what is wrong: a rule, what is typed.
const FOOT: u16 = 2;
/// Columns and lines of the face, where there is room for it.
const FACE: (u16, u16) = (46, 8);
/// From so many columns on it stands beside the page, below that and from so many lines on beneath.
const WIDE: (u16, u16) = (100, 18);

pub fn draw(model: &Model, pen: &mut Pen<'_>, hunt: &Hunt) -> Option<Position> {
    let look = pen.look();
    let mut title = format!("Finding a fault in {}", model.book.label_of(hunt.state));
    if hunt.else_usual.contains(&hunt.state) {
        title.push_str(", every other lamp and load as usual");
    }
    pen.put(1, 0, &title, look.strong());
    let (width, height) = (pen.width(), pen.height());
    // A refusal is told whole, but leaves the page its half.
    let wrong = hunt.wrong.as_deref().unwrap_or_default();
    let told = text::wrap(&look.spell(wrong), usize::from(width.saturating_sub(4))).len();
    let told = u16::try_from(told)
        .unwrap_or(u16::MAX)
        .clamp(1, (height / 2).max(1));
    let room = height.saturating_sub(FOOT + told + 1);
    if hunt.chooses() {
        choices(&mut pen.part(0, 1, width, room), hunt);
    } else {
        let cavity = hunt.page.measure.and_then(|id| model.book.get(id));
        let (mut wide, mut high) = (width, room);
        match cavity {
            Some(cavity) if width >= WIDE.0 => {
                wide = width - FACE.0;
                mark(model, &mut pen.part(wide, 1, FACE.0, room), cavity);
            }
            Some(cavity) if height >= WIDE.1 => {
                high = room.saturating_sub(FACE.1);
                mark(model, &mut pen.part(0, high + 1, width, FACE.1), cavity);
            }
            _ => {}
        }
        page(pen, hunt, wide, high);
    }
    let mut foot = dialog::drawer(pen, FOOT + told - 1, "seen, or read");
    let cursor = dialog::field(&mut foot, 1, 0, &hunt.editor);
    if let Some(wrong) = &hunt.wrong {
        foot.put(1, 1, "!", look.accent());
        let width = foot.width().saturating_sub(1);
        let height = foot.height();
        foot.part(0, 0, width, height)
            .paragraph(3, 1, wrong, look.strong());
    } else {
        let words = "MC-A14 0.02   battery 12.6   state NAME   NAME: fault lamp on   found WHAT";
        foot.put(3, 1, words, look.quiet());
    }
    cursor
}

fn page(pen: &mut Pen<'_>, hunt: &Hunt, width: u16, height: u16) {
    let look = pen.look();
    let lines = &hunt.page.lines;
    let mut page = pen.part(0, 1, width, height);
    let (mut y, mut shown) = (0, hunt.from.min(lines.len()));
    for line in lines.iter().skip(hunt.from) {
        if y >= height {
            break;
        }
        y = draw_line(&mut page, y, line);
        shown += 1;
    }
    let left = lines.len().saturating_sub(shown);
    if left > 0 {
        let words = format!(" {} below ", text::count(left, "line more", "lines more"));
        pen.put_left_of(pen.width().saturating_sub(1), 0, &words, look.focus());
    }
}

fn choices(pen: &mut Pen<'_>, hunt: &Hunt) {
    let look = pen.look();
    let all = hunt.choices();
    let room = usize::from(pen.height().saturating_sub(1));
    pen.put(1, 0, "What is otherwise than it should be?", look.accent());
    let from = first_row(hunt.pick.unwrap_or(0), all.len(), room);
    let wide = all
        .iter()
        .map(|c| text::width(&c.words))
        .max()
        .unwrap_or(0)
        .min(44);
    for (y, (at, choice)) in (1u16..).zip(all.iter().enumerate().skip(from).take(room)) {
        let here = hunt.pick == Some(at);
        pen.put(1, y, if here { "▸" } else { " " }, look.accent());
        pen.put_most(3, y, wide as u16, &choice.words, look.plain());
        pen.put(5 + wide as u16, y, &choice.beside, look.quiet());
        if here {
            pen.tint(3, y, pen.width().saturating_sub(4), look.focus());
        }
    }
}

/// The face with the one cavity marked.
fn mark(model: &Model, pen: &mut Pen<'_>, cavity: &Cavity) {
    let look = pen.look();
    let face = model.book.face_of(cavity.connector);
    let seen = View::WireSide;
    let name = model.book.label_of(cavity.connector);
    pen.rule(
        0,
        &format!("{name} {}: first lead at {}", side(seen), cavity.number),
    );
    let none: BTreeSet<Id<Cavity>> = BTreeSet::new();
    let (width, height) = (pen.width(), pen.height());
    let drawing = Drawing {
        face: &face,
        seen,
        connector: cavity.connector,
        cursor: Some(cavity.id),
        marks: &none,
        only: Some(cavity.id),
    };
    let mut part = pen.part(1, 1, width.saturating_sub(2), height.saturating_sub(1));
    if draw_face(model, &mut part, &drawing) == 0 {
        let words = face.whereabouts(&cavity.number, seen);
        pen.paragraph(1, 1, &words, look.plain());
    }
}
