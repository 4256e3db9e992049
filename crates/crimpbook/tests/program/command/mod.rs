//! The command line, without a terminal.

mod check;
mod demo;
mod electrics;
mod help;
mod interchange;
mod leaves;
mod new;
mod places;
mod unreadable;
mod usage;
