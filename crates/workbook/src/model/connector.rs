//! Connectors and the contact families their cavities take.

use super::*;

/// The side a face is looked at from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum View {
    /// From where the other half plugs in.
    MatingSide,
    /// From where the wires go in; the mirror image.
    WireSide,
}

impl View {
    /// The other side.
    pub fn flipped(self) -> Self {
        match self {
            Self::MatingSide => Self::WireSide,
            Self::WireSide => Self::MatingSide,
        }
    }

    /// In words (`mating side`).
    pub fn words(self) -> &'static str {
        match self {
            Self::MatingSide => "mating side",
            Self::WireSide => "wire side",
        }
    }
}

/// What a contact is plated with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Plating {
    /// Tin.
    Tin,
    /// Silver.
    Silver,
    /// Gold.
    Gold,
    /// Nickel.
    Nickel,
    /// None: bare copper alloy.
    Bare,
}

impl Plating {
    /// Every plating.
    pub const ALL: [Self; 5] = [Self::Tin, Self::Silver, Self::Gold, Self::Nickel, Self::Bare];

    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Tin => "tin",
            Self::Silver => "silver",
            Self::Gold => "gold",
            Self::Nickel => "nickel",
            Self::Bare => "bare",
        }
    }
}

/// A plug or header of a unit; a lead built into a unit is one as well.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Connector {
    /// Id.
    pub id: Id<Connector>,
    /// The unit it belongs to.
    pub unit: Id<Unit>,
    /// Short name (`MC-A`).
    pub label: String,
    /// What it is, in words.
    #[serde(default)]
    pub name: String,
    /// Whether cavities are sealed; not known if absent.
    #[serde(default)]
    pub sealed: Option<bool>,
    /// The face in one line of words (`rows 7 7 staggered, from lower left, seen from mating side`), see [`face`].
    #[serde(default)]
    pub face: String,
    /// What the pins of the unit's half are plated with, as its manual gives it.
    #[serde(default)]
    pub pin_plating: Option<Plating>,
    /// What keeps it from going into another header of the same shape (`key B, black`).
    #[serde(default)]
    pub keying: String,
    /// The half it couples to, where both halves are of this book (an inline coupling).
    #[serde(default)]
    pub couples_to: Option<Id<Connector>>,
    /// Whether each wire is terminated step by step here, not in passes.
    #[serde(default)]
    pub single_steps: bool,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Connector,
    connectors,
    label = label,
    refs = |this, see| {
        see(Ref::to(this.unit, "unit"));
        if let Some(id) = this.couples_to {
            see(Ref::to(id, "couples_to"));
        }
    }
);

/// What is crimped on a wire for a class of cavity, and its seal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ContactFamily {
    /// Id.
    pub id: Id<ContactFamily>,
    /// Short name (`S`).
    pub label: String,
    /// Thinnest wire it takes, mm².
    #[serde(default)]
    pub least_mm2: Option<f64>,
    /// Thickest wire it takes, mm².
    #[serde(default)]
    pub most_mm2: Option<f64>,
    /// Thinnest insulation its seal grips, mm outside.
    #[serde(default)]
    pub seal_least_mm: Option<f64>,
    /// Thickest insulation its seal takes, mm outside.
    #[serde(default)]
    pub seal_most_mm: Option<f64>,
    /// Resistance of one mated contact with its crimp, at most, Ω.
    #[serde(default)]
    pub resistance_ohm: Option<f64>,
    /// What it is plated with.
    #[serde(default)]
    pub plating: Option<Plating>,
    /// Most current of a single mated contact, A, as its maker gives it.
    #[serde(default)]
    pub most_a: Option<f64>,
    /// Length to strip, mm.
    #[serde(default)]
    pub strip_mm: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    ContactFamily,
    contact_families,
    label = label,
    refs = |_this, _see| {}
);
