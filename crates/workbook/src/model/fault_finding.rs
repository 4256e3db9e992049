//! Faults that were looked for in the vehicle.

use super::*;
use chrono::{DateTime, Utc};

/// A session of fault finding, with its outcome. Kept as words, since what it speaks of may be gone by now.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultFinding {
    /// Id.
    pub id: Id<FaultFinding>,
    /// When it ended.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// The battery at rest, V, where it was read.
    #[serde(default)]
    pub battery_v: Option<f64>,
    /// What was seen and read, in order.
    #[serde(default)]
    pub said: Vec<SeenOrRead>,
    /// The likeliest single faults at the end.
    #[serde(default)]
    pub suspects: String,
    /// Whether the fault was found.
    pub found: bool,
    /// What it was and what was done; where it was not found, how it was left.
    pub outcome: String,
}
row!(FaultFinding, fault_findings, refs = |_this, _see| {});

/// Something seen or read in the course of fault finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeenOrRead {
    /// The operating state, as it was called then.
    pub state: String,
    /// What (`MC.ready off`, `MC-A14 0.02`).
    pub words: String,
}

impl FaultFinding {
    /// All that was seen and read, in a line (`DRIVE: MC.ready off; MC-A14 0.02`).
    pub fn said_words(&self) -> String {
        let mut all = String::new();
        let mut state = "";
        for said in &self.said {
            if !all.is_empty() {
                all.push_str("; ");
            }
            if said.state != state {
                all.push_str(&format!("{}: ", said.state));
                state = &said.state;
            }
            all.push_str(&said.words);
        }
        if let Some(volts) = self.battery_v {
            all.push_str(&format!("; battery {volts:.2} V"));
        }
        all
    }
}
