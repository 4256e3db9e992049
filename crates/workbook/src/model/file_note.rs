//! Photos and files: their names, not their contents.

use super::*;
use chrono::{DateTime, Utc};

/// A photo or file that is kept elsewhere, by name, with a note. Nothing of it is copied in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FileNote {
    /// Id.
    pub id: Id<FileNote>,
    /// Its name, with the folder if that helps to find it.
    pub name: String,
    /// What it shows or is about; none: the vehicle.
    #[serde(default)]
    pub of: Option<Key>,
    /// What is seen on it.
    #[serde(default)]
    pub note: String,
    /// When it was noted.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
}
row!(
    FileNote,
    file_notes,
    refs = |this, see| {
        if let Some(key) = this.of {
            see(Ref { key, field: "of" });
        }
    }
);
