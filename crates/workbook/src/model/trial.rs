//! Test drives.

use super::*;
use chrono::{DateTime, Utc};

/// A test drive and what it felt like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trial {
    /// Id.
    pub id: Id<Trial>,
    /// When.
    pub at: DateTime<Utc>,
    /// Who drove.
    pub who: String,
    /// Where.
    #[serde(default)]
    pub place: String,
    /// Weather, road, load, state of charge.
    #[serde(default)]
    pub conditions: String,
    /// What was tried; of older trials also where.
    pub words: String,
    /// The one thing that was changed before it.
    #[serde(default)]
    pub changed: String,
    /// Why that was changed.
    #[serde(default)]
    pub why: String,
    /// The settings it was driven with, as they were then.
    #[serde(default)]
    pub settings: Vec<AsDriven>,
    /// What it felt like, in words.
    #[serde(default)]
    pub felt: String,
    /// What it felt like, trait by trait.
    #[serde(default)]
    pub marks: Vec<Mark>,
    /// The highest or lowest that was seen of something.
    #[serde(default)]
    pub peaks: Vec<Peak>,
    /// Faults that the units told.
    #[serde(default)]
    pub faults: String,
    /// What to try next.
    #[serde(default)]
    pub next: String,
}
row!(Trial, trials, refs = |_this, _see| {});

impl Trial {
    /// A trial of which nothing is said yet.
    pub fn new(id: Id<Trial>, at: DateTime<Utc>, who: impl Into<String>) -> Self {
        Self {
            id,
            at,
            who: who.into(),
            place: String::new(),
            conditions: String::new(),
            words: String::new(),
            changed: String::new(),
            why: String::new(),
            settings: Vec::new(),
            felt: String::new(),
            marks: Vec::new(),
            peaks: Vec::new(),
            faults: String::new(),
            next: String::new(),
        }
    }

    /// The mark of a trait, whatever its case.
    pub fn mark(&self, name: &str) -> Option<i64> {
        let mark = self.marks.iter().find(|m| m.name.eq_ignore_ascii_case(name))?;
        Some(mark.mark)
    }
}

/// A setting as it was when a trial was driven. Kept as words, since the setting may be gone by now.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AsDriven {
    /// The setting; it may have been removed since.
    pub setting: Id<Setting>,
    /// Its unit's label then.
    pub unit: String,
    /// Its label then.
    pub label: String,
    /// Its value then.
    pub value: String,
    /// Unit of the value.
    #[serde(default)]
    pub measure: String,
}

impl AsDriven {
    /// The value with its unit, as a person reads it.
    pub fn shown(&self) -> String {
        format!("{} {}", self.value, self.measure).trim().to_owned()
    }

    /// Unit and label (`MC REGEN_COAST_MAX`).
    pub fn name(&self) -> String {
        format!("{} {}", self.unit, self.label)
    }
}

/// What one trait of the drive felt like.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// The trait (`tip-in`).
    pub name: String,
    /// From 1, bad, to 5, right.
    pub mark: i64,
}

/// Traits that are offered. Common practice, no source.
pub const TRAITS: &[&str] = &["tip-in", "coast", "brake blend", "creep"];

/// The highest or lowest that was seen of something.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Peak {
    /// Of what (`motor`, `lowest cell`).
    pub name: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    #[serde(default)]
    pub measure: String,
}

/// A step of the first run that was gone through.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FirstRun {
    /// Id.
    pub id: Id<FirstRun>,
    /// Which step.
    pub step: FirstRunStep,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// Revision of the plan then.
    #[serde(default)]
    pub revision: String,
    /// What was seen.
    #[serde(default)]
    pub note: String,
}
row!(FirstRun, first_runs, refs = |_this, _see| {});

macro_rules! first_run {
    ($($variant:ident $words:literal $caution:literal,)*) => {
        /// A step of the first run, in the order in which they are gone through. Common practice, no source: the units'
        /// manuals and local rules come first.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum FirstRunStep { $(#[doc = $words] $variant,)* }
        impl FirstRunStep {
            /// Every step, in order.
            pub const ALL: &'static [FirstRunStep] = &[$(FirstRunStep::$variant,)*];
            /// What is done.
            pub fn words(self) -> &'static str { match self { $(FirstRunStep::$variant => $words,)* } }
            /// What can hurt, and what it is not.
            pub fn caution(self) -> &'static str { match self { $(FirstRunStep::$variant => $caution,)* } }
        }
    };
}

first_run! {
    WiringVerified "every wire tested with the meter, no stop open"
        "A passed check or test is no approval. Traction wiring, insulation and the charge inlet are for those licensed for it.",
    FactorySaved "each unit's factory settings read out and saved"
        "Without them there is no way back from a setting that makes it worse.",
    LimitsDown "limits set low: motor 10 to 20 %, battery 20 to 50 A, regeneration 0, speed and reverse low"
        "An unloaded motor can overspeed: the speed limit comes first.",
    SensorsSet "pedal, brake and selector shown rightly by the unit itself, fault limits tried by unplugging"
        "With traction off. A track that reads wrong can drive off by itself.",
    StopTried "stop button and mechanical disconnect tried; someone stands at it"
        "Brakes may not hold a runaway: a stop that needs no software must be in reach of a second person.",
    OnStands "on rated stands, other wheels chocked, driven wheels clear, nobody in line, no tools, no loose clothes"
        "Never under the car, never on a jack alone. The key stays in reach.",
    Direction "wheels turn the right way, forward and reverse, at the least torque"
        "Still on the stands. Wrong direction: power off before anything is touched.",
    BrakesProven "brakes proven by themselves, and brake over pedal stops the torque"
        "Regeneration is no brake: it is gone when the battery is full or cold.",
    Yard "yard at walking pace, level and closed off, a second person at the disconnect"
        "Nobody in front or behind. Roads need whatever approval, insurance and inspection apply locally.",
    OneAtATime "limits raised 10 to 20 % at a time, one setting at a time, each drive logged"
        "Two changes at once, and nobody knows which one it was. Regeneration starts at 5 to 10 %.",
}
