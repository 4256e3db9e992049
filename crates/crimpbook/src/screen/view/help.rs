//! The keys of a place, from the table of actions.

use crate::screen::{
    action::{Available, Where, in_place, keys},
    model::Model,
    pen::Pen,
};

pub fn draw(model: &Model, pen: &mut Pen<'_>, of: Where, from: usize) {
    let look = pen.look();
    pen.put(1, 0, &format!("Keys on {}", of.words()), look.strong());
    let facts = model.facts();
    let room = usize::from(pen.height().saturating_sub(1));
    let rows: Vec<_> = in_place(of).collect();
    for (line, action) in (1u16..).zip(rows.iter().skip(from).take(room)) {
        pen.put_most(1, line, 11, &keys(action.keys), look.accent());
        let x = 13;
        match (action.available)(&facts) {
            Available::Yes => {
                pen.put(x, line, action.help, look.plain());
            }
            Available::No(why) => {
                pen.put(
                    x,
                    line,
                    &format!("{}: not now, {why}.", action.label),
                    look.quiet(),
                );
            }
        }
    }
    if from + room < rows.len() {
        pen.put_left_of(
            pen.width() - 1,
            0,
            &format!("{} more below", rows.len() - from - room),
            look.quiet(),
        );
    }
}
