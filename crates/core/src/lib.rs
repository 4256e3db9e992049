//! The computing: numbers in, numbers out. No workbook, no files, no clock.
//!
//! Units stand in the names (`area_mm2`, `current_a`, `temp_c`). Every published figure is a row of a table in
//! `/assets` and carries its [`tables::Source`], so that a verdict can say what it rests on and how that is known.
//! Only control wiring up to 60 V DC is meant; a good verdict is no approval.

pub mod conductor;
pub mod fuse;
pub mod heat;
pub mod network;
pub mod quantity;
pub mod reckon;
pub mod rule;
pub mod signal;
pub mod tables;
