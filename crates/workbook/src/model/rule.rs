//! Expressions of a unit's behaviour, and the builder's rules.

use super::*;

/// A named expression over what a unit reads (`MC.ready := key and run and chain`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Expression {
    /// Id.
    pub id: Id<Expression>,
    /// Name, unique in the book (`MC.ready`).
    pub label: String,
    /// The unit whose behaviour it is.
    pub unit: Id<Unit>,
    /// The expression.
    pub text: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Expression,
    expressions,
    label = label,
    refs = |this, see| {
        see(Ref::to(this.unit, "unit"));
    }
);

/// A statement of the builder that must hold in every combination of switches.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Id.
    pub id: Id<Rule>,
    /// Short name (`I1`).
    pub label: String,
    /// In words.
    pub words: String,
    /// As an expression; empty where it rests on something no wiring shows.
    #[serde(default)]
    pub text: String,
    /// What it rests on.
    pub rests_on: Rests,
    /// What is known of it so far, in words.
    #[serde(default)]
    pub note: String,
}
row!(Rule, rules, label = label, refs = |_this, _see| {});

/// What a rule rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rests {
    /// The wiring: it can be proven.
    Wiring,
    /// A setting of a unit.
    Setting,
    /// A unit's firmware.
    Firmware,
    /// A time.
    Time,
}

impl Rests {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Wiring, Self::Setting, Self::Firmware, Self::Time];

    /// In words (`the wiring`).
    pub fn words(self) -> &'static str {
        match self {
            Self::Wiring => "the wiring",
            Self::Setting => "a setting",
            Self::Firmware => "firmware",
            Self::Time => "time",
        }
    }
}
