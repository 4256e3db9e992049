//! The tables of the file, by version.

/// Marks a SQLite file as a workbook: "Crmp".
pub const APPLICATION_ID: i32 = 0x4372_6d70;

/// Version of the tables that this program writes.
pub const VERSION: i32 = STEPS.len() as i32;

/// The SQL that leads from each version to the next; the first makes version 1 from nothing.
///
/// A step that was released is never edited or removed; what changes later is a step of its own.
pub(crate) const STEPS: &[&str] = &[
    include_str!("v1.sql"),
    include_str!("v2.sql"),
    include_str!("v3.sql"),
    include_str!("v4.sql"),
    include_str!("v5.sql"),
    include_str!("v6.sql"),
    include_str!("v7.sql"),
    include_str!("v8.sql"),
    include_str!("v9.sql"),
];
