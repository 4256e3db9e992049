//! What differs between two points of a log, or between two workbooks, field by field in words.

mod between;
mod difference;
mod net;
mod page;
mod value;

pub use between::{Changed, Comparison, KINDS, compare, rewound, steps};
pub use difference::{Difference, differences};
pub use net::net;
pub use value::{Fields, fields, words};

#[cfg(test)]
mod tests;
