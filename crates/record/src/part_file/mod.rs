//! A unit with its connectors, faces and inside parts as a file of its own, to be used in any workbook.
//!
//! The file is JSON: a marker, words, and the records of the unit as in the interchange document. Ids in it mean nothing
//! outside of it. What belongs to one vehicle (decisions, whys, zones, serial numbers, the values that settings were turned to)
//! stays behind. So does a behaviour that hangs on something outside of the unit: the file says so in words.

mod adopt;
mod behaviour;
mod generic;
mod read;
mod remap;
mod save;

use crimpbook_workbook::model::RecordLists;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use adopt::adopt;
pub use generic::{Generic, generic};
pub use read::{PartFileError, read};
pub use save::save;

/// Number of the format that this program writes; it reads no newer one.
pub const FORMAT: u32 = 1;

/// A part file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartFile {
    /// Marks the file, and says in which format it is written.
    pub crimpbook_part: u32,
    /// What it is, in words.
    pub title: String,
    /// Where its figures come from and what to look out for.
    #[serde(default)]
    pub about: String,
    /// What the unit had and the file has not, since it hangs on something outside of the unit: a sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<String>,
    /// One unit, and what it is made of.
    pub records: RecordLists,
}

#[cfg(test)]
mod tests;
