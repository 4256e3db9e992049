//! Settings of the units' own software, and test drives.

use super::*;
use chrono::{DateTime, Utc};

/// A parameter of a unit's own software that belongs to these wires. Its history is the log's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Id.
    pub id: Id<Setting>,
    /// The unit.
    pub unit: Id<Unit>,
    /// The unit's own name for it.
    pub label: String,
    /// Value as the unit shows it.
    pub value: String,
    /// Unit of the value.
    #[serde(default)]
    pub measure: String,
    /// Cavities it belongs to.
    #[serde(default)]
    pub cavities: Vec<Id<Cavity>>,
    /// Anything else (what was measured).
    #[serde(default)]
    pub note: String,
}
row!(
    Setting,
    settings,
    label = label,
    refs = |this, see| {
        see(Ref::to(this.unit, "unit"));
        for id in &this.cavities {
            see(Ref::to(*id, "cavities"));
        }
    }
);

/// A test drive and what it felt like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trial {
    /// Id.
    pub id: Id<Trial>,
    /// When.
    pub at: DateTime<Utc>,
    /// Who drove.
    pub who: String,
    /// Where, and what was tried.
    pub words: String,
    /// The one thing that was changed before it.
    #[serde(default)]
    pub changed: String,
    /// What it felt like.
    #[serde(default)]
    pub felt: String,
    /// What to try next.
    #[serde(default)]
    pub next: String,
}
row!(Trial, trials, refs = |_this, _see| {});
