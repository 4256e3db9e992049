//! Reads and prints sizes, colours and figures with units, as a person types them.
//!
//! The dot is the decimal mark. A comma is understood as one where nothing else can be meant (`1,5`) and refused with
//! a sentence where it could group thousands (`1,500`). What is printed can be read again and gives the same value.

mod colour;
mod decimal;
mod error;
mod gauge;
mod kind;
mod print;
mod size;
mod units;
mod wire_colour;

pub use colour::Colour;
pub use error::QuantityError;
pub use gauge::{Awg, SaeGauge};
pub use kind::Kind;
pub use print::rounded;
pub use size::Size;
pub use wire_colour::WireColour;

/// Joins words into one enumeration: `a, b or c`.
pub(crate) fn sentence_list<S: AsRef<str>>(words: &[S], last: &str) -> String {
    let mut text = String::new();
    for (at, word) in words.iter().enumerate() {
        if at > 0 && at + 1 == words.len() {
            text.push(' ');
            text.push_str(last);
            text.push(' ');
        } else if at > 0 {
            text.push_str(", ");
        }
        text.push_str(word.as_ref());
    }
    text
}
