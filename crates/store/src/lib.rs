//! The project file: one SQLite file a workbook, opened, migrated, committed to, watched, backed up, verified.
//!
//! A file at rest is one plain SQLite file. Looking at it changes nothing. The first change puts it in write-ahead mode, in which
//! a change costs one sync; the last to close it puts it back. Rows and log entry go in one transaction, and
//! [`Store::commit`] returns when they are on the disk.
//!
//! One process opens a file once: the system drops a process's locks on a file when any of its handles is closed. What another
//! thread wants to see of it goes through [`Aside`].

mod aside;
mod backup;
mod commit;
mod connect;
mod copies;
mod create;
mod entries;
mod error;
mod glance;
mod load;
mod look;
mod map;
mod migrate;
mod open;
mod place;
mod replay;
mod restore;
mod salvage;
mod schema;
mod settle;
mod verify;
mod watch;
mod write;

pub use aside::Aside;
pub use copies::{DayCopy, KEPT as COPIES_KEPT, list as copies};
pub use entries::Bodies;
pub use error::{Cause, ErrorKind, StoreError};
pub use glance::{ConnectorGlance, Glance};
pub use load::Head;
pub use open::{Begun, Opened, Store};
pub use place::said_of_place;
pub use restore::{Restored, restore};
pub use salvage::{Salvaged, salvage};
pub use schema::{APPLICATION_ID, VERSION};
pub use verify::Verified;

#[cfg(test)]
mod tests;
