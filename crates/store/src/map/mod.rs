//! Records to columns and back, after one table: [`kinds`]. A new field of a record is one line there and one in the SQL.

mod elements;
mod kinds;
mod parts;
mod plan;
mod read;
mod shape;
mod write;

pub(crate) use elements::{ListRows, list_rows};
pub(crate) use plan::{Plan, plan, plans};
pub(crate) use read::record;
pub(crate) use write::cells;
