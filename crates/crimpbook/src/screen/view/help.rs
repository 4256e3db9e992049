//! The keys of a place, from the table of actions.

use crate::screen::{
    action::{Available, Where, in_place, keys},
    model::Model,
    pen::Pen,
    text,
};

pub fn draw(model: &Model, pen: &mut Pen<'_>, of: Where, from: usize) {
    let look = pen.look();
    pen.put(1, 0, &format!("Keys on {}", of.words()), look.strong());
    let facts = model.facts();
    let rows: Vec<_> = in_place(of).collect();
    let x = 13;
    let wide = usize::from(pen.width().saturating_sub(x));
    let (mut y, mut shown) = (1, from);
    for action in rows.iter().skip(from) {
        let (words, style) = match (action.available)(&facts) {
            Available::Yes => (action.help.to_owned(), look.plain()),
            Available::No(why) => (format!("{}: not now, {why}.", action.label), look.quiet()),
        };
        let lines = text::wrap(&words, wide);
        let high = u16::try_from(lines.len()).unwrap_or(1);
        if y + high > pen.height() {
            break;
        }
        pen.put_most(1, y, 11, &keys(action.keys), look.accent());
        for line in &lines {
            pen.put(x, y, line, style);
            y += 1;
        }
        shown += 1;
    }
    if shown < rows.len() {
        let more = format!("{} more below", rows.len() - shown);
        pen.put_left_of(pen.width() - 1, 0, &more, look.quiet());
    }
}
