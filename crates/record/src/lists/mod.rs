//! Lists to work from: what to cut, what to print on the labels, what to buy, what protects what, and the packet of one
//! connector. Each is a table that is printed as text with boxes, or written as CSV.

mod colours;
mod cuts;
mod fuses;
mod labels;
mod packet;
mod parts;
mod runs;
#[cfg(test)]
mod tests;
mod text;

pub use colours::colours;
pub use cuts::cuts;
pub use fuses::fuses;
pub use labels::{LEAST_WIDTH, labels};
pub use packet::{STEPS, packet};
pub use parts::{Need, needs, parts};
pub use runs::{RunsError, runs};

/// What a person puts a tick or a figure in.
const BOX: &str = "[ ]";
