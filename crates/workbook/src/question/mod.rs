//! Missing facts as questions: what is asked, where the answer goes, and in which order one sitting takes them.
//!
//! A check that lacks an input names the field that would tell it ([`Ask`], from the table in [`fields`]). [`questions`]
//! puts what a report asks into the order of one sitting; [`Ask::answer`] makes of a typed answer an edit for the door.

mod answer;
mod ask;
mod field;
pub mod fields;
mod list;
#[cfg(test)]
mod tests;

pub use ask::Ask;
pub use field::{Choice, Field, Measure, Told};
pub use list::{Question, Sitting, questions};
