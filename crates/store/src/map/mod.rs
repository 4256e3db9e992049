//! Records to columns and back, after one table: [`kinds`]. A new field of a record is one line there and one in the SQL.

mod kinds;
mod parts;
mod plan;
mod read;
mod shape;
mod write;

pub(crate) use plan::{Plan, plan, plans};
pub(crate) use read::{ListRows, list_rows, record};
pub(crate) use write::cells;
