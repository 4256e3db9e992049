//! Operating states: named positions of the switches.

use super::*;

/// An operating state (parked, charging, key on, drive …).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Id.
    pub id: Id<State>,
    /// Name (`DRIVE`).
    pub label: String,
    /// Place in the list of states.
    #[serde(default)]
    pub order: i64,
    /// What it is, in words.
    #[serde(default)]
    pub words: String,
    /// Voltage of the sources that follow the supply, V; the workbook's nominal where absent.
    #[serde(default)]
    pub supply_v: Option<f64>,
    /// Positions of switches; one that is not named rests.
    #[serde(default)]
    pub switches: Vec<SwitchPosition>,
    /// Positions given to inside parts directly.
    #[serde(default)]
    pub parts: Vec<PartSetting>,
}
row!(
    State,
    states,
    label = label,
    refs = |this, see| {
        for at in &this.switches {
            see(Ref::to(at.switch, "switches"));
        }
        for at in &this.parts {
            see(Ref::to(at.part, "parts"));
        }
    }
);

/// A switch and where it stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SwitchPosition {
    /// The switch.
    pub switch: Id<Switch>,
    /// One of its positions.
    pub position: String,
}

/// An inside part and how it stands in a state.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartSetting {
    /// The part.
    pub part: Id<Part>,
    /// How it stands.
    pub position: PartPosition,
    /// The unit's behaviour is not known; this is assumed.
    #[serde(default)]
    pub assumed: bool,
}

/// How an inside part stands in a state.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PartPosition {
    /// Contact: operated, away from rest. Coil: pulled in (and holding). Output, source, load: on.
    On,
    /// Contact: at rest. Coil: released. Output, source: off. Load: off, or asleep where it has such a figure.
    Off,
    /// Coil with an economiser: still pulling in at full current. Load: at its inrush.
    Starting,
    /// Potentiometer or sensor: travel from 0 (rest) to 1 (full). Output: duty from 0 to 1.
    Travel(f64),
}
