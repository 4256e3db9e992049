//! Rules in plain words, and functions over switch positions.
//!
//! A statement is made of names, `is`, `and`, `or`, `not` and brackets: `never charge_lead is in and MC.ready` or
//! `MC.ready := MC-A2 and not MC-A19`. A name that is no plain word stands in square brackets, `[MAIN+ coil]`. What a name means is for
//! the caller; here it is only text. [`parse`] and [`Statement`]'s `Display` are inverse to each other.
//!
//! [`Diagrams`] holds functions of many two-way choices as decision diagrams, in which all combinations of switch
//! positions are one function and not a list.

mod complete;
mod diagram;
mod error;
mod expr;
mod parse;
mod print;
#[cfg(test)]
mod tests;
mod token;

pub use complete::{Completion, Known, complete};
pub use diagram::{Diagrams, FALSE, Function, TRUE};
pub use error::SyntaxError;
pub use expr::{Expr, Statement};
pub use parse::{parse, parse_expr};
