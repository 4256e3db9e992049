//! Readings, accepted findings, temporary links.

use super::*;
use chrono::{DateTime, Utc};

/// A measured value with the value that was expected then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Id.
    pub id: Id<Reading>,
    /// Which test of the list it answers; absent: a measurement of its own.
    #[serde(default)]
    pub test: Option<TestKind>,
    /// Where the meter's first lead was.
    pub at_cavity: Id<Cavity>,
    /// Where the second lead was; free: on chassis, or on battery negative.
    #[serde(default)]
    pub against: End,
    /// The state the vehicle was in; none: power off.
    #[serde(default)]
    pub state: Option<Id<State>>,
    /// A switch that was held elsewhere than the state has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<SwitchPosition>,
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
    /// The known current that was sent through, A, where millivolts were read.
    #[serde(default)]
    pub current_a: Option<f64>,
    /// The leads' own resistance, taken off before, Ω.
    #[serde(default)]
    pub leads_ohm: Option<f64>,
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
        this.against.refs("against", see);
        if let Some(id) = this.state {
            see(Ref::to(id, "state"));
        }
        if let Some(held) = &this.held {
            see(Ref::to(held.switch, "held"));
        }
    }
);

macro_rules! test_kinds {
    ($($variant:ident $words:literal $doc:literal,)*) => {
        /// A kind of test with a meter. The tests are common practice, no source.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum TestKind { $(#[doc = $doc] $variant,)* }
        impl TestKind {
            /// Every kind, in the order in which they are made.
            pub const ALL: &'static [TestKind] = &[$(TestKind::$variant,)*];
            /// In a word or two.
            pub fn words(self) -> &'static str { match self { $(TestKind::$variant => $words,)* } }
        }
    };
}

test_kinds! {
    Mirror "mirrored?" "End to end, at one of three cavities that show whether a plug's face was taken mirrored.",
    Through "end to end" "End to end along a net, power off.",
    Ground "ground" "From a ground cavity to battery negative, power off.",
    Chassis "open to chassis" "Not joined to chassis, power off.",
    Supply "open to supply" "Not joined to battery positive, power off.",
    Neighbour "open to neighbour" "Not joined to the cavity beside it, power off.",
    Can "CAN pair" "Across a CAN pair, power off, plugs on.",
    Coil "coil" "Across a coil, power off, its plug off.",
    Potentiometer "potentiometer" "Across a potentiometer, power off, its plug off.",
    Sensor "sensor" "Across a sensor at room temperature, power off, its plug off.",
    Rail "rail to ground" "From a fused rail to ground before its fuse goes in, power off.",
    PlugsOff "volts, plugs off" "Volts at the wire's side, the plugs of units with electronics off.",
    PlugsOn "volts, plugs on" "Volts, all plugs on.",
    Contact "contact" "Volts over a wire with its contacts, at a known current.",
    Rails "rail" "Volts of a fused rail at the first power, the plugs of units with electronics off.",
    Draw "draw" "What a fused rail, or a unit's supply, draws.",
    FirstPlug "volts, first plug on" "Volts, the controller's plug on and those of other units with electronics off.",
    AtRest "at rest" "Volts that the controller gets from a sensor at rest.",
    AtFull "at full travel" "Volts that the controller gets from a sensor at full travel, or turned to its other level.",
    Joining "volts, plug just on" "Volts at a unit whose plug has just gone on, one unit after the other.",
    CoilOn "coil pulled in" "Volts across a contactor's coil that is to pull in, without the pack.",
    CoilOff "coil let go" "Volts across a contactor's coil with a switch held that opens its feed.",
    Release "release time" "Time from a switch to a contactor's click.",
    Precharge "precharge time" "Time from the precharge contactor to the main one.",
}

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
