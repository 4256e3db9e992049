//! The one door for change.
//!
//! Every edit, from a key, a command, an import, an undo or a merge, is a list of records before and after with a why.
//! [`Book::prepare`](crate::Book::prepare) checks it whole and adds what follows from it (built steps that fall back);
//! the store commits rows and entry in one transaction; [`Book::apply`](crate::Book::apply) then shows it.

mod change;
mod door;
mod lapse;
pub mod make;
mod refusal;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
pub(crate) mod tests;
mod together;
mod undo;
mod validate;

pub use change::{Change, Edit, Stamp};
pub use refusal::{LABEL_TAKEN, Refusal};
pub use together::together;
pub use undo::{Undoable, find_redo, find_undo, invert};
pub use validate::no_wire_ends;
