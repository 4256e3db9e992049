//! Parts: a kind of record as a list, and the record under the cursor.

use crimpbook_workbook::model::Kind;
use ratatui::layout::Position;

use super::{card, first_row};
use crate::screen::{
    action::{Do, key_of},
    model::{
        Model,
        parts::{KINDS, heading, kind, record, rows},
        sieve,
    },
    pen::Pen,
};

/// From this width on the record stands beside the list.
const WIDE: u16 = 110;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    kinds(model, pen);
    let top = 2;
    if width >= WIDE {
        let left = width * 3 / 5;
        list(model, &mut pen.part(0, top, left, height - top));
        pen.part(left, top, 1, height - top).upright(0);
        if let Some(key) = record(model) {
            card::record(
                model,
                &mut pen.part(left + 2, top, width - left - 2, height - top),
                key,
            );
        }
    } else {
        list(model, &mut pen.part(0, top, width, height - top));
    }
    None
}

/// The kinds in one line, the one shown in sight.
fn kinds(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let shown = kind(model);
    let words: Vec<String> = KINDS.iter().map(|k| heading(*k).to_owned()).collect();
    let wide = |words: &[String]| words.iter().map(|w| w.len() + 2).sum::<usize>();
    let mut from = 0;
    while from < model.parts.kind
        && wide(words.get(from..=model.parts.kind).unwrap_or_default()) + 4 > usize::from(pen.width())
    {
        from += 1;
    }
    let mut x = pen.put(0, 0, if from > 0 { "‹" } else { " " }, look.accent());
    for (at, words) in words.iter().enumerate().skip(from) {
        let style = if KINDS.get(at) == Some(&shown) {
            look.focus()
        } else {
            look.plain()
        };
        x = pen.put(x, 0, words, style) + 2;
    }
    if x > pen.width() {
        let width = pen.width();
        pen.put(width - 1, 0, "›", look.accent());
    }
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let rows = rows(model);
    if rows.is_empty() {
        let none = || format!("None yet. {} adds one.", key_of(Do::Add));
        let words = sieve::nothing(model).unwrap_or_else(none);
        pen.put(2, 0, &words, look.quiet());
        return;
    }
    let at = model
        .parts
        .at
        .get(&kind(model))
        .copied()
        .unwrap_or(0)
        .min(rows.len() - 1);
    // A line of the parts list is told from the next one by its end.
    let name = if kind(model) == Kind::StockLine { 26 } else { 14 };
    let room = usize::from(pen.height());
    let from = first_row(at, rows.len(), room);
    for (y, (row, item)) in (0u16..).zip(rows.iter().enumerate().skip(from).take(room)) {
        pen.hit_row(y, row);
        if row == at {
            pen.put(0, y, "▸", look.accent());
        }
        pen.put_most(2, y, name, &item.name, look.strong());
        let mut x = name + 3;
        if let Some(colour) = item.colour {
            pen.wire_colour(x, y, colour, look.plain());
            x += 10;
        } else if kind(model) == Kind::Wire {
            x += 10;
        }
        pen.put(x, y, &item.words, look.plain());
        if row == at {
            pen.tint(2, y, name, look.focus());
        }
    }
}
