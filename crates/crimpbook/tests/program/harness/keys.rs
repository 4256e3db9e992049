//! What a terminal sends for keys that are not characters.
//!
//! An Esc and what is typed right after it is one chord to a program; wait for what the Esc did before going on.

pub const ENTER: &str = "\r";
pub const ESC: &str = "\x1b";
pub const DOWN: &str = "\x1b[B";
pub const RIGHT: &str = "\x1b[C";
pub const BACKSPACE: &str = "\x7f";
pub const PAGE_DOWN: &str = "\x1b[6~";
