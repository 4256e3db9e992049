//! Tests of the store, on real files in scratch folders.

mod columns;
mod copies;
mod disk;
mod generate;
mod left_behind;
mod log;
mod migration;
mod refusal;
mod salvage;
pub(crate) mod samples;
mod writers;
