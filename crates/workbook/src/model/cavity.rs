//! Cavities, what is decided for them, and the sources weighed for them.

use super::*;

/// One numbered position of a connector.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cavity {
    /// Id.
    pub id: Id<Cavity>,
    /// The connector it is in.
    pub connector: Id<Connector>,
    /// Number as on the plug (`16`); unique within the connector.
    pub number: String,
    /// The unit's own number, where it differs from the plug's.
    #[serde(default)]
    pub unit_number: String,
    /// Function as the manual names it.
    #[serde(default)]
    pub name: String,
    /// Kind of signal; not known if absent.
    #[serde(default)]
    pub kind: Option<SignalKind>,
    /// What the manual states of it.
    #[serde(default)]
    pub limits: Limits,
    /// Contact family the cavity takes.
    #[serde(default)]
    pub contact: Option<Id<ContactFamily>>,
    /// What it gets.
    pub decision: Decision,
    /// Why.
    #[serde(default)]
    pub why: String,
    /// Whether a sealing plug is listed for it.
    #[serde(default)]
    pub plug: bool,
    /// Page of the manual its figures come from.
    #[serde(default)]
    pub page: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Cavity,
    cavities,
    refs = |this, see| {
        see(Ref::to(this.connector, "connector"));
        if let Some(id) = this.contact {
            see(Ref::to(id, "contact"));
        }
        if let Decision::Bridged { to } = this.decision {
            see(Ref::to(to, "decision"));
        }
    }
);

/// What a cavity gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Decision {
    /// Nobody has decided yet.
    #[default]
    Undecided,
    /// A wire.
    Wired,
    /// A link to another cavity of the same connector.
    Bridged {
        /// The other cavity.
        to: Id<Cavity>,
    },
    /// Left empty on purpose, plugged where sealed.
    Blank,
    /// Kept for later.
    Reserved,
    /// Belongs to another's loom, or is built in.
    NotOurs,
}

impl Decision {
    /// In words (`not ours`).
    pub fn words(self) -> &'static str {
        match self {
            Self::Undecided => "undecided",
            Self::Wired => "wired",
            Self::Bridged { .. } => "bridged",
            Self::Blank => "blank",
            Self::Reserved => "reserved",
            Self::NotOurs => "not ours",
        }
    }
}

macro_rules! signal_kinds {
    ($($variant:ident $words:literal $source:literal,)*) => {
        /// What a cavity is, electrically, seen from its own unit.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum SignalKind { $(#[doc = concat!("A ", $words, ".")] $variant,)* }

        impl SignalKind {
            /// Every kind.
            pub const ALL: &'static [SignalKind] = &[$(SignalKind::$variant,)*];
            /// In words.
            pub fn words(self) -> &'static str { match self { $(SignalKind::$variant => $words,)* } }
            /// Whether a signal can come from here.
            pub fn is_source(self) -> bool { match self { $(SignalKind::$variant => $source,)* } }
        }
    };
}

signal_kinds! {
    SupplyIn "main supply input" false,
    LogicSupply "logic supply input" false,
    SupplyOut "supply output" true,
    Ground "ground" false,
    SensorSupply "sensor supply" true,
    SensorReturn "sensor return" false,
    AnalogueIn "analogue input" false,
    AnalogueOut "analogue output" true,
    PotEnd "potentiometer end" false,
    PotWiper "potentiometer wiper" true,
    ResistanceIn "resistance input" false,
    DigitalInHigh "digital input, active at supply" false,
    DigitalInLow "digital input, active at ground" false,
    DigitalInBare "digital input without a pull" false,
    PwmIn "PWM input" false,
    PwmOut "PWM output" true,
    LowSideOut "low-side output" true,
    OpenCollector "open-collector output" true,
    HighSideOut "high-side output" true,
    SwitchFeed "switch contact, feed" false,
    SwitchContact "switch contact" true,
    Coil "coil" false,
    ClampSupply "clamp supply" false,
    Lamp "lamp" false,
    Motor "motor or pump" false,
    SensorFeed "sensor's supply input" false,
    CanHigh "CAN H" true,
    CanLow "CAN L" true,
    SerialTx "serial TX" true,
    SerialRx "serial RX" false,
    EncoderOut "encoder output" true,
    EncoderIn "encoder input" false,
    TemperatureSensor "temperature sensor" true,
    Shield "shield" false,
    InterlockOut "interlock source" true,
    InterlockIn "interlock return" false,
    InterlockLoop "interlock loop" false,
    ControlPilot "control pilot" true,
    Proximity "proximity" true,
    NotConnected "not connected inside" false,
    DoNotUse "reserved inside, must stay open" false,
}

impl SignalKind {
    /// Whether a small disturbance reads as something there.
    pub fn is_sensitive(self) -> bool {
        matches!(
            self,
            Self::AnalogueIn
                | Self::ResistanceIn
                | Self::EncoderIn
                | Self::SensorReturn
                | Self::SensorSupply
                | Self::CanHigh
                | Self::CanLow
        )
    }
}

/// A source that was weighed for an input.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Candidate {
    /// Id.
    pub id: Id<Candidate>,
    /// The cavity that needs a signal.
    pub sink: Id<Cavity>,
    /// The cavity that would give it, if it is of this book.
    #[serde(default)]
    pub source: Option<Id<Cavity>>,
    /// The source in words.
    pub words: String,
    /// What came of it.
    pub verdict: Verdict,
    /// Why.
    #[serde(default)]
    pub why: String,
}
row!(
    Candidate,
    candidates,
    refs = |this, see| {
        see(Ref::to(this.sink, "sink"));
        if let Some(id) = this.source {
            see(Ref::to(id, "source"));
        }
    }
);

/// What came of a candidate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Still being weighed.
    Weighed,
    /// Taken.
    Chosen,
    /// Not taken.
    Refused,
}
