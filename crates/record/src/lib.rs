//! What leaves a workbook and enters it: the record to print, tables, interchange JSON.
//!
//! Knows no terminal, no database and no clock; moments come from the caller.

pub mod json;
pub mod text;

#[cfg(test)]
mod sample;
