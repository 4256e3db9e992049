//! Build steps that were done, failed or skipped.

use super::*;
use chrono::{DateTime, Utc};

/// A build step that somebody answered for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepDone {
    /// Id.
    pub id: Id<StepDone>,
    /// What was built.
    pub of: Built,
    /// Which step.
    pub step: Step,
    /// What came of it.
    pub outcome: Outcome,
    /// When.
    pub at: DateTime<Utc>,
    /// Who.
    pub who: String,
    /// What was measured or seen.
    #[serde(default)]
    pub note: String,
    /// The plan's figures it rested on.
    #[serde(default)]
    pub rested_on: Vec<Rest>,
    /// Why it has to be redone, if a later change touched it.
    #[serde(default)]
    pub redo: Option<String>,
}
row!(
    StepDone,
    steps_done,
    refs = |this, see| {
        match this.of {
            Built::Wire(wire) => see(Ref::to(wire, "of")),
            Built::End { wire, .. } => see(Ref::to(wire, "of")),
            Built::Connector(id) => see(Ref::to(id, "of")),
            Built::Junction(id) => see(Ref::to(id, "of")),
        }
    }
);

/// What a build step was done to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Built {
    /// A wire as a whole.
    Wire(Id<Wire>),
    /// One end of a wire.
    End {
        /// The wire.
        wire: Id<Wire>,
        /// Which end.
        end: WireEnd,
    },
    /// A connector as a whole.
    Connector(Id<Connector>),
    /// A splice or stud.
    Junction(Id<Junction>),
}

impl Built {
    /// The wire that it is, or is an end of.
    pub fn wire(self) -> Option<Id<Wire>> {
        match self {
            Self::Wire(wire) | Self::End { wire, .. } => Some(wire),
            Self::Connector(_) | Self::Junction(_) => None,
        }
    }
}

/// Which end of a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WireEnd {
    /// The end it comes from.
    From,
    /// The end it goes to.
    To,
}

macro_rules! steps {
    ($($variant:ident $words:literal $accept:literal,)*) => {
        /// A build step. The acceptance figures are common practice, no source; the contact maker's sheet wins.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Step { $(#[doc = $words] $variant,)* }
        impl Step {
            /// Every step in working order.
            pub const ALL: &'static [Step] = &[$(Step::$variant,)*];
            /// In a word or two.
            pub fn words(self) -> &'static str { match self { $(Step::$variant => $words,)* } }
            /// Accepted when.
            pub fn accept(self) -> &'static str { match self { $(Step::$variant => $accept,)* } }
        }
    };
}

steps! {
    Cut "cut" "listed length, 0 to 20 mm longer",
    Label "label both ends" "same text at both ends, outside the boot, before terminating",
    Twist "twist" "33 to 50 turns a metre, untwisted 25 to 40 mm at either end at most",
    JacketBack "jacket back" "no further than the boot, no strand of the shield cut",
    Drain "drain" "shield gathered under sleeve, joined at one end only",
    ShieldEnd "cover far end" "the shield's other end cut back and covered, touching nothing",
    Seal "seal on" "right colour, right way round, not torn",
    Strip "strip" "contact's length ±0.5 mm, no strand cut or scraped",
    Crimp "crimp" "brush 0.2 to 1.0 mm in front, bell-mouth at the rear, insulation and conductor in the window",
    Clean "clean to metal" "bare bright metal as wide as the largest lug, paint and rust off",
    Insert "insert" "click, then a tug of 10 to 20 N: it stays; level with its neighbours",
    Join "join" "all wires in the barrel, pulled one by one",
    SealSplice "seal the splice" "sleeve shrunk round it, glue seen at both ends",
    Place "place" "at its distance from the datum; 40 mm or more from a branch, 150 mm from a plug, beside no other",
    Bolt "lug on" "on its stud, barrel clear of its neighbours",
    Lugs "order of lugs" "every wire's lug on, the largest at the metal, none upside down",
    Torque "torque" "to the figure for its thread, then marked with paint",
    Protect "protect" "grease or lacquer over all of it, after the torque",
    Continuity "continuity" "end to end below 1 Ω, steady when shaken",
    NotShorted "not shorted" "above 1 MΩ to both neighbours and to chassis",
    Plugs "sealing plugs" "one in every empty sealed cavity",
    SecondaryLock "secondary lock" "closes without force",
    Finish "boot, label, photo" "boot on, label readable, both sides photographed",
}

/// What came of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Done and accepted.
    Done,
    /// Tried and not accepted; the note says why.
    Failed,
    /// Left out on purpose.
    Skipped,
}

/// Something of the plan that a step, a reading or an acceptance rested on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rest {
    /// The record.
    pub on: Key,
    /// Which group of its fields (`size`, `colour`, `length`, `from`, `to`, `place`).
    pub group: String,
    /// The value then.
    pub value: String,
}
