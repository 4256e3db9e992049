//! Splices, studs, the chassis between studs, and what a wire can end at.

use super::*;

/// A junction of several wires, or a bolted ground or supply point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Junction {
    /// Id.
    pub id: Id<Junction>,
    /// Short name (`SP7`, `G4`, `AB+`).
    pub label: String,
    /// Splice or stud.
    pub kind: JunctionKind,
    /// The unit a stud or post belongs to, if it does.
    #[serde(default)]
    pub unit: Option<Id<Unit>>,
    /// Where it is.
    #[serde(default)]
    pub zone: Option<Id<Zone>>,
    /// Resistance of one wire's joint to it, Ω.
    #[serde(default)]
    pub joint_ohm: Option<f64>,
    /// Least area of conductors that a splice's sleeve holds, all added up, mm².
    #[serde(default)]
    pub sleeve_least_mm2: Option<f64>,
    /// Most area of conductors that a splice's sleeve holds, all added up, mm².
    #[serde(default)]
    pub sleeve_most_mm2: Option<f64>,
    /// Way along the loom from a splice to the nearest branch or to the next splice beside it, m.
    #[serde(default)]
    pub clear_m: Option<f64>,
    /// Whether a splice is sealed against water; not known if absent.
    #[serde(default)]
    pub sealed: Option<bool>,
    /// Whether it lies where the loom moves (a door, a lid, between engine and body); not known if absent.
    #[serde(default)]
    pub flexes: Option<bool>,
    /// Torque that a stud's nut or bolt is tightened to, N·m; the unit's manual or the stud's sheet says.
    #[serde(default)]
    pub torque_nm: Option<f64>,
    /// Where to find it, in words.
    #[serde(default)]
    pub place: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Junction,
    junctions,
    label = label,
    refs = |this, see| {
        if let Some(id) = this.unit {
            see(Ref::to(id, "unit"));
        }
        if let Some(id) = this.zone {
            see(Ref::to(id, "zone"));
        }
    }
);

/// Splice or stud.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum JunctionKind {
    /// Wires crimped or soldered together.
    Splice,
    /// A bolted supply point or a unit's post.
    Stud,
    /// A bolted ground on the chassis.
    GroundStud,
}

/// Chassis metal (or a strap) between two ground points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChassisPath {
    /// Id.
    pub id: Id<ChassisPath>,
    /// One end: a stud, or a node inside a unit such as its case.
    pub from: Terminal,
    /// The other.
    pub to: Terminal,
    /// Resistance, Ω.
    pub resistance_ohm: f64,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    ChassisPath,
    chassis_paths,
    refs = |this, see| {
        this.from.refs("from", see);
        this.to.refs("to", see);
    }
);

/// A point that an inside part or a chassis path is joined to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Terminal {
    /// A cavity of the unit (the unit's side of its contact).
    Cavity(Id<Cavity>),
    /// A splice or stud.
    Junction(Id<Junction>),
    /// A node inside a unit, by name (`case`, `rail`).
    Inner {
        /// The unit.
        unit: Id<Unit>,
        /// The node's name within it.
        node: String,
    },
}

impl Terminal {
    /// Calls `see` for the record it names.
    pub fn refs(&self, field: &'static str, see: &mut dyn FnMut(Ref)) {
        match self {
            Self::Cavity(id) => see(Ref::to(*id, field)),
            Self::Junction(id) => see(Ref::to(*id, field)),
            Self::Inner { unit, .. } => see(Ref::to(*unit, field)),
        }
    }
}

/// What an end of a wire goes to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// A cavity (the wire's side of its contact).
    Cavity(Id<Cavity>),
    /// A splice or stud.
    Junction(Id<Junction>),
    /// Planned, not yet placed.
    #[default]
    Free,
}

impl End {
    /// Where it ends; none: it is free.
    pub fn terminal(self) -> Option<Terminal> {
        match self {
            Self::Cavity(id) => Some(Terminal::Cavity(id)),
            Self::Junction(id) => Some(Terminal::Junction(id)),
            Self::Free => None,
        }
    }

    /// Calls `see` for the record it names.
    pub fn refs(&self, field: &'static str, see: &mut dyn FnMut(Ref)) {
        match self {
            Self::Cavity(id) => see(Ref::to(*id, field)),
            Self::Junction(id) => see(Ref::to(*id, field)),
            Self::Free => {}
        }
    }
}
