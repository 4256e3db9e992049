//! Inside parts: a unit's electrical behaviour as its manual gives it.

use super::*;

/// An electrical element inside a unit, between its cavities, studs and inner nodes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Id.
    pub id: Id<Part>,
    /// The unit it is inside.
    pub unit: Id<Unit>,
    /// Short name, unique in the book (`K2 coil`).
    pub label: String,
    /// What it is, with its figures.
    pub kind: PartKind,
    /// What its ends are joined to, in the order its kind names ([`PartKind::roles`]).
    pub ends: Vec<Terminal>,
    /// How much feed and return of a load may drop together at its running current, V; the usual limit where absent.
    #[serde(default)]
    pub drop_limit_v: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Part,
    parts,
    label = label,
    refs = |this, see| {
        see(Ref::to(this.unit, "unit"));
        for end in &this.ends {
            end.refs("ends", see);
        }
        match &this.kind {
            PartKind::FuseWay { fuse } => see(Ref::to(*fuse, "kind")),
            PartKind::Contact {
                driver: Driver::Switch { switch, .. },
                ..
            } => see(Ref::to(*switch, "kind")),
            PartKind::Contact {
                driver: Driver::Coil { part },
                ..
            } => see(Ref::to(*part, "kind")),
            _ => {}
        }
    }
);

/// What an inside part is. Resistances in Ω, voltages in V, currents in A.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// A source: volts behind ohms. Ends: plus, minus.
    Source {
        /// Open-circuit voltage, V; absent: the workbook's supply voltage of the state.
        #[serde(default)]
        volts_v: Option<f64>,
        /// Inner resistance, Ω.
        ohm: f64,
        /// It gives no more than this, A.
        #[serde(default)]
        limit_a: Option<f64>,
        /// It can be off: a state's positions say, and `when` for all combinations of switches.
        #[serde(default)]
        switched: bool,
        /// Expression that says when a switched source is on; empty: only a state's positions say.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        when: String,
    },
    /// A resistance: resistor, pull, joint. Ends: one, other.
    Resistor {
        /// Resistance, Ω.
        ohm: f64,
    },
    /// A CAN terminator. Ends: H, L.
    Terminator {
        /// Resistance, Ω.
        ohm: f64,
    },
    /// A load. Ends: plus, minus.
    Load {
        /// How it draws.
        mode: LoadMode,
        /// Below this voltage it drops out, V.
        #[serde(default)]
        least_v: Option<f64>,
        /// Peak when it starts, A.
        #[serde(default)]
        inrush_a: Option<f64>,
        /// Length of that peak, s.
        #[serde(default)]
        inrush_s: Option<f64>,
        /// What it draws asleep or off, A; a state says when.
        #[serde(default)]
        asleep_a: Option<f64>,
    },
    /// A lamp. Ends: one, other.
    Lamp {
        /// Resistance at its working heat, Ω.
        hot_ohm: f64,
        /// Resistance when cold, Ω.
        #[serde(default)]
        cold_ohm: Option<f64>,
        /// Voltage at which the hot resistance holds, V.
        #[serde(default)]
        rated_v: Option<f64>,
    },
    /// A coil. Ends: plus, minus.
    Coil {
        /// Resistance at 20 °C, Ω.
        ohm: f64,
        /// Pulls in at or above, V at 20 °C.
        #[serde(default)]
        pull_in_v: Option<f64>,
        /// Drops out below, V at 20 °C.
        #[serde(default)]
        drop_out_v: Option<f64>,
        /// With an economiser: what it draws once pulled in, A.
        #[serde(default)]
        hold_a: Option<f64>,
        /// How long the full pull lasts, s.
        #[serde(default)]
        pull_in_s: Option<f64>,
        /// What limits its voltage when switched off; not recorded if absent.
        #[serde(default)]
        suppression: Option<Suppression>,
        /// Whether plus and minus may not be swapped.
        #[serde(default)]
        polarised: bool,
    },
    /// A contact of a switch or relay. Ends: common, other; change-over: common, closed at rest, open at rest.
    Contact {
        /// Resistance when closed, Ω.
        ohm: f64,
        /// Normally open, closed or change-over.
        form: ContactForm,
        /// What moves it.
        driver: Driver,
        /// Most it may carry, A.
        #[serde(default)]
        most_a: Option<f64>,
        /// Least it needs to stay clean, A.
        #[serde(default)]
        least_a: Option<f64>,
    },
    /// A semiconductor output. Ends: pin, ground (low side, open collector); supply, pin (high side); pin, supply, ground (push-pull).
    Output {
        /// Which way it switches.
        side: OutputSide,
        /// Resistance when on, Ω.
        ohm: f64,
        /// Continuous limit, A.
        #[serde(default)]
        most_a: Option<f64>,
        /// Short limit, A.
        #[serde(default)]
        peak_a: Option<f64>,
        /// Length of that, s.
        #[serde(default)]
        peak_s: Option<f64>,
        /// Whether it limits the voltage of a coil by itself; not known if absent.
        #[serde(default)]
        clamp: Option<bool>,
        /// Expression that says when it is on, over what its unit reads; empty: a state's positions say.
        #[serde(default)]
        when: String,
    },
    /// A diode. Ends: anode, cathode.
    Diode {
        /// Forward voltage at its usual current, V.
        forward_v: f64,
    },
    /// A fuse's way in its box. Ends: supply side, load side.
    FuseWay {
        /// The fuse in it.
        fuse: Id<Fuse>,
    },
    /// A potentiometer. Ends: low end, high end, wiper.
    Potentiometer {
        /// End to end, Ω.
        ohm: f64,
    },
    /// A sensor reference. Ends: plus, minus.
    Reference {
        /// Voltage, V.
        volts_v: f64,
        /// Resistance behind it, Ω.
        ohm: f64,
        /// Most it gives, A.
        #[serde(default)]
        limit_a: Option<f64>,
    },
    /// A ratiometric sensor: output = a + b·x of its own supply-to-return. Ends: supply, return, output.
    Ratiometric {
        /// Share at rest.
        a: f64,
        /// Share added at full travel.
        b: f64,
        /// Resistance behind the output, Ω.
        ohm: f64,
        /// What the sensor draws, A.
        draws_a: f64,
    },
}

impl PartKind {
    /// What each end is, in order.
    pub fn roles(&self) -> &'static [&'static str] {
        match self {
            Self::Source { .. } | Self::Load { .. } | Self::Coil { .. } | Self::Reference { .. } => {
                &["plus", "minus"]
            }
            Self::Resistor { .. } | Self::Lamp { .. } => &["one", "other"],
            Self::Terminator { .. } => &["H", "L"],
            Self::Contact {
                form: ContactForm::ChangeOver,
                ..
            } => &["common", "closed at rest", "open at rest"],
            Self::Contact { .. } => &["common", "other"],
            Self::Output {
                side: OutputSide::HighSide,
                ..
            } => &["supply", "pin"],
            Self::Output {
                side: OutputSide::PushPull,
                ..
            } => &["pin", "supply", "ground"],
            Self::Output { .. } => &["pin", "ground"],
            Self::Diode { .. } => &["anode", "cathode"],
            Self::FuseWay { .. } => &["supply side", "load side"],
            Self::Potentiometer { .. } => &["low end", "high end", "wiper"],
            Self::Ratiometric { .. } => &["supply", "return", "output"],
        }
    }

    /// In words (`coil`).
    pub fn words(&self) -> &'static str {
        match self {
            Self::Source { .. } => "source",
            Self::Resistor { .. } => "resistor",
            Self::Terminator { .. } => "terminator",
            Self::Load { .. } => "load",
            Self::Lamp { .. } => "lamp",
            Self::Coil { .. } => "coil",
            Self::Contact { .. } => "contact",
            Self::Output { .. } => "output",
            Self::Diode { .. } => "diode",
            Self::FuseWay { .. } => "fuse way",
            Self::Potentiometer { .. } => "potentiometer",
            Self::Reference { .. } => "sensor reference",
            Self::Ratiometric { .. } => "ratiometric sensor",
        }
    }
}

/// How a load draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LoadMode {
    /// The same current at any voltage, A.
    Current {
        /// A.
        current_a: f64,
    },
    /// As a resistance, Ω.
    Resistance {
        /// Ω.
        ohm: f64,
    },
    /// The same power at any voltage, W.
    Power {
        /// W.
        power_w: f64,
    },
}

/// What limits a coil's voltage when it is switched off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Suppression {
    /// Nothing, and that is known.
    None,
    /// A plain diode; slow to release.
    Diode,
    /// Diode and zener, or a two-way suppressor diode.
    DiodeZener,
    /// A resistor.
    Resistor,
}

/// How a contact rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ContactForm {
    /// Open at rest.
    NormallyOpen,
    /// Closed at rest.
    NormallyClosed,
    /// Changes over.
    ChangeOver,
}

/// What moves a contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Driver {
    /// A switch of the builder: operated (away from rest) in these positions.
    Switch {
        /// The switch.
        switch: Id<Switch>,
        /// Positions in which the contact is operated.
        operated_in: Vec<String>,
    },
    /// A coil.
    Coil {
        /// The coil's inside part.
        part: Id<Part>,
    },
    /// Only a state's own positions say.
    StateOnly,
}

/// Which way an output switches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OutputSide {
    /// To ground.
    LowSide,
    /// To ground, for signals.
    OpenCollector,
    /// To supply.
    HighSide,
    /// Both ways.
    PushPull,
}
