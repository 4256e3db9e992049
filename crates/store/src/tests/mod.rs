//! Tests of the store, on real files in scratch folders.

mod columns;
mod disk;
mod generate;
mod left_behind;
mod log;
mod migration;
mod refusal;
mod samples;
mod writers;
