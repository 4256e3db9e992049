//! Switches, and leads that are in or out.

use super::*;

/// A thing with named positions that decides what the circuit does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Switch {
    /// Id.
    pub id: Id<Switch>,
    /// Name (`selector`).
    pub label: String,
    /// What it is.
    pub kind: SwitchKind,
    /// Its positions by name; the first is the one at rest.
    pub positions: Vec<String>,
    /// The unit it is part of.
    #[serde(default)]
    pub unit: Option<Id<Unit>>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Switch,
    switches,
    label = label,
    refs = |this, see| {
        if let Some(id) = this.unit {
            see(Ref::to(id, "unit"));
        }
    }
);

/// What has the positions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SwitchKind {
    /// A switch that a person or the vehicle moves.
    Switch,
    /// A lead or plug that is in or out.
    Lead,
    /// A condition inside a unit that the wiring cannot see (bus charged, mains on).
    Condition,
}

impl SwitchKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Switch, Self::Lead, Self::Condition];

    /// In words (`lead`).
    pub fn words(self) -> &'static str {
        match self {
            Self::Switch => "switch",
            Self::Lead => "lead",
            Self::Condition => "condition",
        }
    }
}
