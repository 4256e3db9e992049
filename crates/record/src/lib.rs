//! What leaves a workbook and enters it: the record to print, tables, interchange JSON.
//!
//! Knows no terminal, no database and no clock; moments come from the caller.

pub mod bundle;
pub mod compare;
pub mod csv;
pub mod demo;
pub mod draw;
pub mod files;
mod fuse;
pub mod html;
pub mod import;
pub mod json;
pub mod lists;
pub mod markup;
pub mod netlist;
mod order;
pub mod part_file;
pub mod text;
pub mod volts;
mod words;

#[cfg(test)]
mod hostile_tests;
#[cfg(test)]
mod sample;
