//! What a manual states of a cavity: levels, currents, pull, delay.

use super::*;

/// Figures of one cavity as its manual gives them; what is not stated stays absent.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// Input: read as on above this, V.
    pub on_above_v: Option<f64>,
    /// Input: read as off below this, V.
    pub off_below_v: Option<f64>,
    /// Input that is active at ground: read as on below this, V.
    pub on_below_v: Option<f64>,
    /// Input that is active at ground: read as off above this, V.
    pub off_above_v: Option<f64>,
    /// Never above this, V.
    pub most_v: Option<f64>,
    /// Continuous current drawn or given, at most, A.
    pub most_a: Option<f64>,
    /// Short peak drawn or given, at most, A.
    pub peak_a: Option<f64>,
    /// Length of that peak, s.
    pub peak_s: Option<f64>,
    /// Least current a contact needs to stay clean, A.
    pub least_a: Option<f64>,
    /// The pull inside the unit.
    pub pull: Option<Pull>,
    /// How long the signal stays after it is switched off, s.
    pub release_s: Option<f64>,
    /// Analogue: value at rest, V.
    pub rest_v: Option<f64>,
    /// Analogue: value at full, V.
    pub full_v: Option<f64>,
    /// Temperature sensor: its resistance at [`Limits::sensor_at_c`], Ω.
    pub sensor_ohm: Option<f64>,
    /// Temperature sensor: the temperature at which that holds, °C; 25 °C if absent.
    pub sensor_at_c: Option<f64>,
    /// Temperature sensor: how far it may be off there, %.
    pub sensor_tolerance_pct: Option<f64>,
    /// Temperature sensor: how it changes near room temperature, % a kelvin; below zero where it falls as it warms.
    pub sensor_pct_per_k: Option<f64>,
}

/// A pull inside a unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pull {
    /// Where it pulls to.
    pub to: PullTo,
    /// Its resistance, Ω; absent when the manual gives only the direction.
    #[serde(default)]
    pub ohm: Option<f64>,
}

/// Where a pull inside a unit leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PullTo {
    /// The unit's ground.
    Ground,
    /// The unit's own 5 V.
    FiveVolts,
    /// A 12 V rail.
    Supply,
    /// The manual says there is none.
    Nothing,
}
