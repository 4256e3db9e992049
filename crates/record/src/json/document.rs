//! The shape of the document.

use crimpbook_workbook::{log::Entry, model::RecordLists};
use schemars::JsonSchema;
use serde::Deserialize;

/// Number of the format that this program writes; it reads no newer one.
pub const FORMAT: u32 = 1;

/// A workbook as one JSON document: its rows, and the log that led to them.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Crimpbook workbook")]
pub struct Document {
    /// Marks the file as a workbook, and says in which format it is written.
    #[schemars(extend("const" = FORMAT))]
    pub crimpbook_format: u32,
    /// Hash of the last entry of the log, 64 hexadecimal digits. Where it stands, the log is verified against it.
    #[serde(default)]
    #[schemars(regex(pattern = r"^[0-9a-f]{64}$"))]
    pub head: Option<String>,
    /// The rows as they are now, one list a kind. A list that is empty may be left out, and so may every field that is not needed.
    pub records: RecordLists,
    /// Every change ever made, oldest first. Left out: the workbook begins with these rows.
    #[serde(default)]
    pub log: Vec<Entry>,
}

/// What was read from a document, to be turned into entries by [`Interchange::into_entries`].
#[derive(Debug, Clone, PartialEq)]
pub struct Interchange {
    /// The rows.
    pub records: RecordLists,
    /// The log; empty where the document has none.
    pub log: Vec<Entry>,
    /// The hash that the log must lead to, where the document says.
    pub head: Option<String>,
}
