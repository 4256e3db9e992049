//! The program as a person meets it: the real binary, its words, its exit codes, its screens in a pseudo-terminal.

#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "all of it is tests"
)]

mod command;
mod harness;
mod readme;
mod terminal;
