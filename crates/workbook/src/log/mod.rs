//! The log: every change ever made, append-only, chained by hash.

mod chain;
mod entry;
mod revision;

pub use chain::{ChainError, Hash, link, verify};
pub use entry::{ENTRY_SCHEMA, Entry, EntryHead, EntryKind};
pub use revision::next_letter;
