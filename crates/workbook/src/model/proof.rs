//! Readings, accepted findings, temporary links.

use super::*;
use chrono::{DateTime, Utc};

/// A measured value with the value that was expected then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Id.
    pub id: Id<Reading>,
    /// Where the meter's first lead was.
    pub at_cavity: Id<Cavity>,
    /// The state the vehicle was in; none: power off.
    #[serde(default)]
    pub state: Option<Id<State>>,
    /// What was read, in `measure`; absent: open circuit.
    #[serde(default)]
    pub value: Option<f64>,
    /// `V`, `Ω`, `A`.
    pub measure: String,
    /// Least that was right then.
    #[serde(default)]
    pub expected_least: Option<f64>,
    /// Most that was right then.
    #[serde(default)]
    pub expected_most: Option<f64>,
    /// When.
    pub taken: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// Which meter.
    #[serde(default)]
    pub meter: String,
    /// What was done about it.
    #[serde(default)]
    pub note: String,
    /// The plan's figures it rested on.
    #[serde(default)]
    pub rested_on: Vec<Rest>,
    /// Why it no longer counts.
    #[serde(default)]
    pub lapsed: Option<String>,
}
row!(
    Reading,
    readings,
    refs = |this, see| {
        see(Ref::to(this.at_cavity, "at_cavity"));
        if let Some(id) = this.state {
            see(Ref::to(id, "state"));
        }
    }
);

/// A finding that was accepted with a why. It stays visible.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Acceptance {
    /// Id.
    pub id: Id<Acceptance>,
    /// The check's stable name.
    pub check: String,
    /// Places of the finding.
    pub places: Vec<Key>,
    /// Why it is accepted.
    pub why: String,
    /// Its figure then, if it had one.
    #[serde(default)]
    pub figure: Option<f64>,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// The plan's figures it rested on.
    #[serde(default)]
    pub rested_on: Vec<Rest>,
    /// Why it no longer counts.
    #[serde(default)]
    pub lapsed: Option<String>,
}
row!(
    Acceptance,
    acceptances,
    refs = |this, see| {
        for key in &this.places {
            see(Ref {
                key: *key,
                field: "places",
            });
        }
    }
);

/// A bridge, lamp or terminator put in for a test.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TemporaryLink {
    /// Id.
    pub id: Id<TemporaryLink>,
    /// One end.
    pub from: End,
    /// The other.
    pub to: End,
    /// What it is.
    pub words: String,
    /// Why.
    pub why: String,
    /// When it was put in.
    pub at: DateTime<Utc>,
}
row!(
    TemporaryLink,
    temporary_links,
    refs = |this, see| {
        this.from.refs("from", see);
        this.to.refs("to", see);
    }
);
