//! The preview of a pasted table.

use crimpbook_workbook::Book;

use super::{dialog::drawer, first_row};
use crate::screen::{
    model::preview::{Preview, Row},
    pen::Pen,
    text,
};

/// Draws the lines around the cursor.
pub fn draw(body: &mut Pen<'_>, preview: &Preview, book: &Book) {
    let height = body.height().saturating_sub(1);
    let mut pen = drawer(body, height, &preview.title(book));
    let look = pen.look();
    let wide = usize::from(pen.width().saturating_sub(4));
    let room = usize::from(pen.height());
    let from = first_row(preview.at, preview.rows.len(), room);
    for (y, (at, row)) in (0u16..).zip(preview.rows.iter().enumerate().skip(from).take(room)) {
        let here = at == preview.at;
        pen.put(0, y, if here { "▸" } else { " " }, look.accent());
        let (x, words, style) = match row {
            Row::Title(words) => (1, words, look.strong()),
            Row::Column(_, words) | Row::Ask(_, words) | Row::Named(_, words) | Row::Words(words) => {
                (3, words, look.plain())
            }
        };
        let end = pen.put(x, y, &text::fit(words, wide), style);
        if here && matches!(row, Row::Column(..) | Row::Ask(..) | Row::Named(..)) {
            pen.put(end + 1, y, "‹ ›", look.accent());
        }
        if here {
            pen.tint(x, y, end.saturating_sub(x), look.focus());
        }
    }
}
