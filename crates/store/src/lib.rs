//! The project file: one SQLite file a workbook, opened, migrated, committed to, watched, backed up, verified.
//!
//! A file at rest is one plain SQLite file. Looking at it changes nothing. The first change puts it in write-ahead mode, in which
//! a change costs one sync; the last to close it puts it back. Rows and log entry go in one transaction, and
//! [`Store::commit`] returns when they are on the disk.
//!
//! One process opens a file once: the system drops a process's locks on a file when any of its handles is closed.

mod backup;
mod commit;
mod connect;
mod create;
mod entries;
mod error;
mod load;
mod look;
mod map;
mod migrate;
mod open;
mod replay;
mod schema;
mod settle;
mod verify;
mod watch;
mod write;

pub use entries::Bodies;
pub use error::{Cause, ErrorKind, StoreError};
pub use load::Head;
pub use open::{Opened, Store};
pub use schema::{APPLICATION_ID, VERSION};
pub use verify::Verified;

#[cfg(test)]
mod tests;
