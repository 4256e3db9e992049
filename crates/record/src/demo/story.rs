//! The story's shape.

use chrono::{DateTime, Utc};
use crimpbook_workbook::{
    json,
    log::EntryKind,
    model::{Key, Outcome, Step, WireEnd},
};
use serde::Deserialize;
use serde_json::{Map, Value};

use super::StoryError;

/// What happened to a workbook, one beat after the other; the first makes it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(transparent)]
pub struct Story(
    /// The beats in order.
    pub Vec<Beat>,
);

/// One thing that happened. It becomes one entry of the log, or one a thing where `tick.each_min` says so.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beat {
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// What kind of entry. A creation puts all records of the vehicle in; a release takes the next letter.
    pub kind: EntryKind,
    /// In one line.
    pub title: String,
    /// Why.
    #[serde(default)]
    pub why: String,
    /// Records by the names of the interchange lists. Where the id is in the workbook, the fields given here take the
    /// place of its own; where it is not, the record is made.
    #[serde(default)]
    pub set: Map<String, Value>,
    /// Records to take out.
    #[serde(default)]
    pub remove: Vec<Key>,
    /// Build steps.
    #[serde(default)]
    pub tick: Option<Tick>,
}

/// Build steps that were answered for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tick {
    /// Wires, connectors, splices and studs by label.
    pub of: Vec<String>,
    /// Which of their steps.
    pub steps: TickSteps,
    /// Steps at this end of a wire only, and none of the wire as a whole.
    #[serde(default)]
    pub end: Option<WireEnd>,
    /// What came of them.
    #[serde(default = "done")]
    pub outcome: Outcome,
    /// What was measured or seen.
    #[serde(default)]
    pub note: String,
    /// Each thing is an entry of its own, so many minutes after the one before.
    #[serde(default)]
    pub each_min: Option<i64>,
}

/// Which steps of a thing.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TickSteps {
    /// Every step that is not done yet.
    All,
    /// These.
    These(Vec<Step>),
}

fn done() -> Outcome {
    Outcome::Done
}

impl Story {
    /// Reads a story from JSON.
    ///
    /// # Errors
    /// [`StoryError::Story`] with the place.
    pub fn read(text: &str) -> Result<Self, StoryError> {
        json::read(text).map_err(|misfit| StoryError::Story {
            problem: misfit.error.to_string(),
            path: misfit.path,
        })
    }
}
