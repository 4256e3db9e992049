//! The door, undo and redo.

mod door;
mod history;
mod random;
