//! The preview of a pasted table.

use crimpbook_workbook::Book;

use super::{dialog::drawer, first_row};
use crate::screen::{
    model::preview::{Preview, Row},
    pen::Pen,
    text,
};

/// Columns kept for the mark of what can be changed.
const MARK: usize = 4;

/// Draws the lines around the cursor; what is longer goes on below.
pub fn draw(body: &mut Pen<'_>, preview: &Preview, book: &Book) {
    let height = body.height().saturating_sub(1);
    let mut pen = drawer(body, height, &preview.title(book));
    let look = pen.look();
    let wide = usize::from(pen.width().saturating_sub(4));
    let room = usize::from(pen.height());
    let broken = |row: &Row| -> Vec<String> {
        let (words, wide) = match row {
            Row::Title(words) | Row::Words(words) => (words, wide),
            Row::Column(_, words) | Row::Ask(_, words) | Row::Named(_, words) => {
                (words, wide.saturating_sub(MARK))
            }
        };
        text::wrap(&look.spell(words), wide)
    };
    let mut from = first_row(preview.at, preview.rows.len(), room);
    let above = preview.rows.iter().take(preview.at + 1).skip(from);
    let mut high: Vec<usize> = above.map(|row| broken(row).len()).collect();
    // Rows of several lines above the cursor make way for its own.
    while high.len() > 1 && high.iter().sum::<usize>() > room {
        high.remove(0);
        from += 1;
    }
    let mut y = 0u16;
    for (at, row) in preview.rows.iter().enumerate().skip(from) {
        let here = at == preview.at;
        let (x, style) = match row {
            Row::Title(_) => (1, look.strong()),
            _ => (3, look.plain()),
        };
        if here {
            pen.put(0, y, "▸", look.accent());
        }
        let lines = broken(row);
        for (n, line) in lines.iter().enumerate() {
            if usize::from(y) >= room {
                return;
            }
            let cut = usize::from(y) + 1 == room && n + 1 < lines.len();
            let line = if cut {
                text::fit(&format!("{line}…"), wide)
            } else {
                line.clone()
            };
            let end = pen.put(x, y, &line, style);
            let changes = matches!(row, Row::Column(..) | Row::Ask(..) | Row::Named(..));
            if here && changes && n + 1 == lines.len() {
                pen.put(end + 1, y, "‹ ›", look.accent());
            }
            if here {
                pen.tint(x, y, end.saturating_sub(x), look.focus());
            }
            y += 1;
        }
    }
}
