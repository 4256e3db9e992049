//! Tests of the store, on real files in scratch folders.

mod columns;
mod disk;
mod generate;
mod samples;
