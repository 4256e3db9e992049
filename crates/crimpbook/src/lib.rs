//! The binary's rooms: the command line, the open workbook that it shares with the screens, and the screens.

pub mod cli;
pub mod command;
mod memo;
mod part_files;
pub mod report;
pub mod screen;
pub mod session;
mod sketch;
mod who;
