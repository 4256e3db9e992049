//! The binary's rooms: the open workbook that command line and screens share, and the screens.

pub mod screen;
pub mod session;
