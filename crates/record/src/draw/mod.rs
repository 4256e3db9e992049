//! Our own drawings, as SVG elements that stand in a page or a file of their own.

mod face;
mod hole;
mod paint;

pub use face::{face, legend, side_words};
pub use paint::{paint, swatch};
