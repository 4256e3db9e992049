//! The door, undo and redo.

mod door;
mod history;
pub(crate) mod random;
