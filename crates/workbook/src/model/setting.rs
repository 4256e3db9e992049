//! Settings of the units' own software.

use super::*;

/// A parameter of a unit's own software that belongs to these wires. Its history is the log's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Id.
    pub id: Id<Setting>,
    /// The unit.
    pub unit: Id<Unit>,
    /// The unit's own name for it.
    pub label: String,
    /// Value as the unit shows it.
    pub value: String,
    /// Unit of the value.
    #[serde(default)]
    pub measure: String,
    /// What it sets, where a check or a calculation reads it.
    #[serde(default)]
    pub role: Option<SettingRole>,
    /// Least that the manual or the builder allows, in the unit of the value.
    #[serde(default)]
    pub least: Option<f64>,
    /// Most that the manual or the builder allows, in the unit of the value.
    #[serde(default)]
    pub most: Option<f64>,
    /// What the unit comes with, as it shows it.
    #[serde(default)]
    pub default_value: String,
    /// Page of the unit's manual.
    #[serde(default)]
    pub page: String,
    /// Cavities it belongs to.
    #[serde(default)]
    pub cavities: Vec<Id<Cavity>>,
    /// Anything else (what was measured).
    #[serde(default)]
    pub note: String,
}
row!(
    Setting,
    settings,
    label = label,
    refs = |this, see| {
        see(Ref::to(this.unit, "unit"));
        for id in &this.cavities {
            see(Ref::to(*id, "cavities"));
        }
    }
);

impl Setting {
    /// The value with its unit, as a person reads it (`18 %`).
    pub fn shown(&self) -> String {
        format!("{} {}", self.value, self.measure).trim().to_owned()
    }

    /// The value as a number; a comma is a decimal mark, as the unit may show one.
    pub fn figure(&self) -> Option<f64> {
        let value = self.value.trim().replace(',', ".");
        value.parse().ok().filter(|v: &f64| v.is_finite())
    }
}

macro_rules! roles {
    ($($variant:ident $words:literal $doc:literal,)*) => {
        /// What a setting sets, where the program reads it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum SettingRole { $(#[doc = $doc] $variant,)* }
        impl SettingRole {
            /// Every role, in order.
            pub const ALL: &'static [SettingRole] = &[$(SettingRole::$variant,)*];
            /// In a few words.
            pub fn words(self) -> &'static str { match self { $(SettingRole::$variant => $words,)* } }
        }
    };
}

roles! {
    PedalRest "pedal at rest" "What a pedal track gives at rest.",
    PedalFull "pedal at full" "What a pedal track gives when it is pressed fully.",
    PedalLowFault "pedal low fault" "Below this a pedal track is taken for broken.",
    PedalHighFault "pedal high fault" "Above this a pedal track is taken for broken.",
    PedalDeadLow "dead band at rest" "Share of a pedal's travel that does nothing at rest.",
    PedalDeadHigh "dead band at full" "Share of a pedal's travel that does nothing at full.",
    PedalDisagree "tracks disagree" "By how much two pedal tracks may disagree.",
    PedalShape "pedal shape" "Exponent of the pedal's curve.",
    InputSense "sense of an input" "Whether high or low means operated.",
    SensorType "type of a sensor" "Which sort of sensor an input reads: potentiometer, hall, resistance.",
    CoilHold "hold of a coil" "What a coil is left once it has pulled in, in % of its supply or in V.",
    CanRate "CAN rate" "Bit rate of a CAN bus.",
    PrechargeCapacitance "capacitance to precharge" "Capacitance of the traction bus.",
    PrechargeResistance "precharge resistor" "Resistance of the precharge resistor.",
    PrechargeShare "precharge share" "Share of the pack voltage to reach before closing.",
    PrechargeTime "precharge time" "Time that precharging is given.",
    PackVoltage "pack voltage" "Voltage of the traction battery.",
    BatteryCapacity "battery capacity" "Capacity of the low-voltage battery.",
    RegenCoast "regeneration, lift-off" "Most regeneration when the foot is off the pedal.",
    RegenBrake "regeneration, braking" "Most regeneration when the brake is pressed.",
    Other "read by no check" "Nothing that the program reads, whatever its name says.",
}
