//! Tests of the store, on real files in scratch folders.

mod columns;
mod copies;
mod disk;
pub(crate) mod generate;
mod left_behind;
mod log;
mod migration;
mod refusal;
pub(crate) mod samples;
mod writers;
