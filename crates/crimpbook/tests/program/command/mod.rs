//! The command line, without a terminal.

mod check;
mod demo;
mod help;
mod interchange;
mod leaves;
mod new;
mod places;
mod unreadable;
mod usage;
