//! Units: things with electrical connections.

use super::*;

/// A controller, charger, switch, pump, battery …: a thing with electrical connections.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Unit {
    /// Id.
    pub id: Id<Unit>,
    /// Short name (`MC`).
    pub label: String,
    /// What it is, in words (`motor controller`).
    pub name: String,
    /// Where in the vehicle it sits.
    #[serde(default)]
    pub zone: Option<Id<Zone>>,
    /// The manual its figures were read from.
    #[serde(default)]
    pub manual: Option<Manual>,
    /// Serial number of the one in hand.
    #[serde(default)]
    pub serial: String,
    /// Firmware it runs.
    #[serde(default)]
    pub firmware: String,
    /// Where its supply comes from, in words.
    #[serde(default)]
    pub supply_note: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Unit,
    units,
    label = label,
    refs = |this, see| {
        if let Some(id) = this.zone {
            see(Ref::to(id, "zone"));
        }
    }
);

/// A manual and which revision of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Manual {
    /// Title.
    pub title: String,
    /// Revision or date.
    #[serde(default)]
    pub revision: String,
}
