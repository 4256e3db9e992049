//! What the tests stand on: a home of one's own, the command line, a pseudo-terminal, small workbooks.

mod books;
mod home;
mod keys;
mod terminal;

pub use books::{BLANK, OPEN, STOCKED, WIRED, book};
pub use home::{Home, PROGRAM, Ran};
pub use keys::*;
pub use terminal::Terminal;
