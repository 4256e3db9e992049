//! Our own drawings, as SVG elements that stand in a page or a file of their own.

mod face;
mod hole;
mod loom;
mod paint;
mod pedal;
mod plan;
mod strokes;
mod supply;
mod time_current;

pub use face::{face, legend, side_words};
pub use loom::{Loom, Place, Trunk, loom_map, place_words, zone_of};
pub use paint::{paint, swatch};
pub use pedal::pedal_shape;
pub use plan::plan_map;
pub use supply::{at_most, grade_words, supply_tree};
pub use time_current::time_current;
