//! What lies over the screen: a drawer at the lower edge with a thin rule above it.

use ratatui::layout::Position;

use crate::screen::{
    action::{Where, in_place},
    model::{Model, find::Find, line::Line, over::Over},
    pen::Pen,
    text,
};

/// Draws what is on top of the screen; gives where the cursor belongs.
pub fn draw(model: &Model, body: &mut Pen<'_>) -> Option<Position> {
    match model.over.last()? {
        Over::Menu => menu(body, Where::Menu, "go to"),
        Over::Deciding => menu(body, Where::Deciding, "decide"),
        Over::Line(line) => return draw_line(model, body, line),
        Over::Form(form) => return super::form::draw(body, form),
        Over::Asking(asking) => return super::asking::draw(model, body, asking),
        Over::Find(find) => return draw_find(body, find),
        Over::Help { .. }
        | Over::Suppose { .. }
        | Over::Reckon
        | Over::Hunt
        | Over::Trying { .. }
        | Over::Merging => {}
        Over::Preview(preview) => super::preview::draw(body, preview, &model.book),
        Over::Leaving => {
            let mut pen = drawer(body, 2, "leave?");
            let plain = pen.look().plain();
            pen.put(1, 0, "What is typed would be lost.", plain);
        }
    }
    None
}

/// A part of `body` at its lower edge, cleared, with a rule above.
pub fn drawer<'p>(body: &'p mut Pen<'_>, lines: u16, title: &str) -> Pen<'p> {
    let (width, height) = (body.width(), body.height());
    let lines = (lines + 1).min(height);
    let mut pen = body.part(0, height - lines, width, lines);
    pen.clear();
    pen.rule(0, title);
    body.part(0, height - lines + 1, width, lines.saturating_sub(1))
}

fn menu(body: &mut Pen<'_>, place: Where, title: &str) {
    let rows: Vec<_> = in_place(place).collect();
    let mut pen = drawer(body, u16::try_from(rows.len()).unwrap_or(u16::MAX), title);
    let look = pen.look();
    for (line, action) in (0u16..).zip(rows) {
        let key = action.keys.first().map(ToString::to_string).unwrap_or_default();
        pen.put(2, line, &key, look.accent());
        pen.put(7, line, action.label, look.strong());
        pen.put(18, line, action.help, look.plain());
    }
}

fn draw_line(model: &Model, body: &mut Pen<'_>, line: &Line) -> Option<Position> {
    let wide = usize::from(body.width().saturating_sub(2));
    let mut title = line.title.clone();
    if line.purpose.asks_why() && !line.purpose.needs_why(&model.book, model.trying.is_some()) {
        title.push_str(" (may stay empty)");
    }
    let title = text::wrap(&title, wide);
    let wrong = line
        .wrong
        .as_deref()
        .map(|w| text::wrap(w, wide.saturating_sub(2)));
    let wrong = wrong.unwrap_or_default();
    let lines = u16::try_from(title.len() + wrong.len().max(1)).unwrap_or(1) + 1;
    let mut pen = drawer(body, lines, "");
    let look = pen.look();
    let mut y = 0;
    for part in &title {
        pen.put(1, y, part, look.strong());
        y += 1;
    }
    let cursor = field(&mut pen, 1, y, &line.editor);
    for (line, part) in (y + 1..).zip(&wrong) {
        if line == y + 1 {
            pen.put(1, line, "!", look.accent());
        }
        pen.put(3, line, part, look.strong());
    }
    cursor
}

/// A line of text with its cursor in sight.
pub fn field(pen: &mut Pen<'_>, x: u16, y: u16, editor: &crate::screen::editor::Editor) -> Option<Position> {
    let look = pen.look();
    let x = pen.put(x, y, "› ", look.accent());
    let before = text::width(&look.spell(editor.before()));
    let hidden = hidden(pen, x, before);
    let shown = skip_columns(&look.spell(&editor.text()), hidden);
    let style = if editor.is_picked() {
        look.marked()
    } else {
        look.plain()
    };
    pen.put(x, y, &shown, style);
    let at = x.saturating_add(u16::try_from(before - hidden).unwrap_or(u16::MAX));
    // The cursor is drawn as well, since some terminals hide their own.
    pen.tint(at, y, 1, look.focus());
    pen.at(at, y)
}

/// Columns of a field's text that are hidden to the left. Text longer than the line is shown from further right, so that
/// the cursor, `before` columns into it, is always seen.
fn hidden(pen: &Pen<'_>, x: u16, before: usize) -> usize {
    let room = usize::from(pen.width().saturating_sub(x + 1)).max(1);
    before.saturating_sub(room.saturating_sub(1))
}

/// Where a character of a field at `x` stands; none where it is hidden.
pub fn column(
    pen: &Pen<'_>,
    x: u16,
    editor: &crate::screen::editor::Editor,
    character: usize,
) -> Option<u16> {
    let look = pen.look();
    let before = text::width(&look.spell(editor.before()));
    let start: String = editor.text().chars().take(character).collect();
    let x = x + 2;
    let shown = text::width(&look.spell(&start)).checked_sub(hidden(pen, x, before))?;
    x.checked_add(u16::try_from(shown).ok()?)
}

fn skip_columns(words: &str, columns: usize) -> String {
    use unicode_segmentation::UnicodeSegmentation;
    let mut skipped = 0;
    words
        .graphemes(true)
        .skip_while(|grapheme| {
            let skip = skipped < columns;
            skipped += text::width(grapheme);
            skip
        })
        .collect()
}

fn draw_find(body: &mut Pen<'_>, find: &Find) -> Option<Position> {
    let found = &find.found;
    let room = usize::from(body.height().saturating_sub(4)).min(12);
    let most = found.len().clamp(1, room.max(1));
    let mut pen = drawer(body, u16::try_from(most + 1).unwrap_or(1), "find");
    let look = pen.look();
    let cursor = field(&mut pen, 1, 0, &find.editor);
    let from = super::first_row(find.at, found.len(), most);
    for (line, (at, m)) in (1u16..).zip(found.iter().enumerate().skip(from).take(most)) {
        pen.hit_row(line, at);
        let chosen = at == find.at;
        pen.put(1, line, if chosen { "▸" } else { " " }, look.accent());
        pen.put_most(3, line, 12, &m.name, look.strong());
        let mut x = 16;
        if let Some(colour) = m.colour {
            x = pen.wire_colour(x, line, colour, look.plain()) + 1;
        }
        pen.put(x, line, &m.what, look.plain());
        if chosen {
            pen.tint(3, line, pen.width().saturating_sub(4), look.focus());
        }
    }
    if found.is_empty() {
        let words = if find.editor.is_empty() {
            "A wire's number, a cavity, a unit, a colour, a signal, or the name of an action."
        } else {
            "Nothing here is called so."
        };
        pen.put(3, 1, words, look.quiet());
    }
    cursor
}
