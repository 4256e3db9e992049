//! Protection: the supply tree, the fuse and wire picture, shorts at far ends.

mod far_ends;
mod picture;
mod plot;
mod tree;
mod words;

use ratatui::layout::Position;

pub use tree::amps;

use crate::screen::{
    model::{Model, protection::Shows},
    pen::Pen,
};

/// From this width on words stand beside the list.
const WIDE: u16 = 110;

/// What holds wherever figures of protection are shown.
const CAUTION: &str = "A passed check is not an approval. Curves from memory: the data sheet wins.";

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    if model.findings.current().is_none() {
        let quiet = pen.look().quiet();
        pen.put(
            2,
            0,
            "checking: what each wire carries is being computed …",
            quiet,
        );
        return None;
    }
    match model.protection.shows {
        Shows::Tree => tree::draw(model, pen),
        Shows::Picture => picture::draw(model, pen),
        Shows::FarEnds => far_ends::draw(model, pen),
    }
    None
}
