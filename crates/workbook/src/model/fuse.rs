//! Fuses.

use super::*;

/// A fuse: it protects what is downstream of it.
///
/// Where it sits in the circuit is told by an inside part of its box ([`PartKind::FuseWay`]) or by the wire it is in line
/// with ([`InlineFuse`]).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fuse {
    /// Id.
    pub id: Id<Fuse>,
    /// Short name (`F6`).
    pub label: String,
    /// Rating, A.
    pub rating_a: f64,
    /// Kind, which gives its time gates.
    pub kind: FuseKind,
    /// What it feeds, in words.
    #[serde(default)]
    pub feeds: String,
    /// Where the holder is, in words.
    #[serde(default)]
    pub holder: String,
    /// Zone of the holder, for re-rating with ambient.
    #[serde(default)]
    pub zone: Option<Id<Zone>>,
    /// Melting I²t from its own data sheet, A²s.
    #[serde(default)]
    pub melting_a2s: Option<f64>,
    /// Resistance when cold, Ω; the table's where absent.
    #[serde(default)]
    pub cold_ohm: Option<f64>,
    /// Rated volts, V.
    #[serde(default)]
    pub rated_v: Option<f64>,
    /// Breaking capacity, A.
    #[serde(default)]
    pub breaking_a: Option<f64>,
    /// Share of the rating left at its ambient (1 = none lost); from its data sheet.
    #[serde(default)]
    pub ambient_factor: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Fuse,
    fuses,
    label = label,
    refs = |this, see| {
        if let Some(id) = this.zone {
            see(Ref::to(id, "zone"));
        }
    }
);

/// Kinds of fuses, by the standard that gives their time gates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FuseKind {
    /// Medium or mini blade (ISO 8820-3 types C and F).
    Blade,
    /// High-current blade (ISO 8820-3 type E).
    HighCurrentBlade,
    /// Cartridge (ISO 8820-4).
    Cartridge,
    /// Bolt-in (ISO 8820-5).
    BoltIn,
}

impl FuseKind {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Blade, Self::HighCurrentBlade, Self::Cartridge, Self::BoltIn];
}
