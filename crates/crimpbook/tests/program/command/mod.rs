//! The command line, without a terminal.

mod check;
mod copies;
mod demo;
mod electrics;
mod help;
mod import;
mod interchange;
mod leaves;
mod limits;
mod lists;
mod new;
mod parts;
mod places;
mod reckon;
mod rules;
mod settings;
mod suspects;
mod unreadable;
mod usage;
