//! The table of fields that can be asked for, a constant each. To ask for another: copy a neighbour and name it in [`ALL`].

use crimpbook_core::quantity::Kind as Quantity;

use super::{
    Choice, Field, Measure,
    Measure::{Amount, OneOf},
    Told,
};
use crate::model::Kind;

const AMPS: Measure = Amount(Quantity::Current);
const OHMS: Measure = Amount(Quantity::Resistance);
const SECONDS: Measure = Amount(Quantity::Time);
const VOLTS: Measure = Amount(Quantity::Voltage);
const WARMTH: Measure = Amount(Quantity::Temperature);

macro_rules! fields {
    ($($name:ident $kind:ident [$($step:literal)+] $words:literal $measure:expr, $example:literal $told:ident;)*) => {
        $(#[doc = concat!($words, ".")]
        pub static $name: Field = Field {
            kind: Kind::$kind,
            path: &[$($step),+],
            words: $words,
            measure: $measure,
            example: $example,
            told: Told::$told,
        };)*

        /// Every field that can be asked for.
        pub static ALL: &[&Field] = &[$(&$name),*];
    };
}

const fn choice(words: &'static str, json: &'static str) -> Choice {
    Choice { words, json }
}

const PULLS: &[Choice] = &[
    choice("none", r#"{"to":"nothing"}"#),
    choice("to ground", r#"{"to":"ground"}"#),
    choice("to 5 V", r#"{"to":"five_volts"}"#),
    choice("to supply", r#"{"to":"supply"}"#),
];

const SUPPRESSIONS: &[Choice] = &[
    choice("none", r#""none""#),
    choice("diode", r#""diode""#),
    choice("diode and zener", r#""diode_zener""#),
    choice("resistor", r#""resistor""#),
];

const PLATINGS: &[Choice] = &[
    choice("tin", r#""tin""#),
    choice("silver", r#""silver""#),
    choice("gold", r#""gold""#),
    choice("nickel", r#""nickel""#),
    choice("bare", r#""bare""#),
];

fields! {
    WIRES_CLASS About ["insulation_class_c"] "insulation class of the wires" WARMTH, "105 °C" Vehicle;
    ZONE_AMBIENT Zone ["ambient_c"] "hottest ambient" WARMTH, "60 °C" Vehicle;
    BUNDLE_FACTOR Bundle ["factor"] "factor on the current" Measure::Number, "0.7" Vehicle;
    BUNDLE_TRACTION Bundle ["traction_m"] "least way to traction cables" Amount(Quantity::Length), "0.2 m" Vehicle;
    UNIT_ZONE Unit ["zone"] "zone" Measure::Record(Kind::Zone), "cabin" Vehicle;
    UNIT_MANUAL Unit ["manual" "title"] "title of the manual" Measure::Words, "Installation manual" Vehicle;
    FUSE_ZONE Fuse ["zone"] "zone of the holder" Measure::Record(Kind::Zone), "cabin" Vehicle;
    JUNCTION_ZONE Junction ["zone"] "zone" Measure::Record(Kind::Zone), "cabin" Vehicle;
    SPLICE_CLEAR Junction ["clear_m"] "way to the next branch or splice" Amount(Quantity::Length), "80 mm" Vehicle;
    SPLICE_FLEXES Junction ["flexes"] "whether the loom moves there" Measure::YesNo, "no" Vehicle;
    SPLICE_SEALED Junction ["sealed"] "whether it is sealed" Measure::YesNo, "yes" Vehicle;
    WIRE_SIZE Wire ["area_mm2"] "size" Measure::WireSize, "0.5 mm2" Vehicle;
    WIRE_LENGTH Wire ["length_m"] "length" Amount(Quantity::Length), "2.4 m" Vehicle;
    WIRE_CLASS Wire ["insulation_class_c"] "insulation class" WARMTH, "105 °C" Vehicle;
    WIRE_BUNDLE Wire ["bundle"] "bundle" Measure::Record(Kind::Bundle), "tunnel" Vehicle;

    CONNECTOR_SEALED Connector ["sealed"] "whether cavities are sealed" Measure::YesNo, "yes" Manual;
    CONNECTOR_PIN_PLATING Connector ["pin_plating"] "plating of the unit's pins" OneOf(PLATINGS), "tin" Manual;
    CONNECTOR_KEYING Connector ["keying"] "what keeps it out of other headers" Measure::Words, "key B, black" Manual;
    CAVITY_NAME Cavity ["name"] "function" Measure::Words, "RUN" Manual;
    CAVITY_KIND Cavity ["kind"] "kind of signal" Measure::SignalKind, "analogue input" Manual;
    CAVITY_PAGE Cavity ["page"] "page of the manual" Measure::Words, "14" Manual;
    CAVITY_ON_ABOVE Cavity ["limits" "on_above_v"] "volts above which it reads on" VOLTS, "8 V" Manual;
    CAVITY_OFF_BELOW Cavity ["limits" "off_below_v"] "volts below which it reads off" VOLTS, "2 V" Manual;
    CAVITY_ON_BELOW Cavity ["limits" "on_below_v"] "volts below which it reads on" VOLTS, "1 V" Manual;
    CAVITY_OFF_ABOVE Cavity ["limits" "off_above_v"] "volts above which it reads off" VOLTS, "4 V" Manual;
    CAVITY_MOST_V Cavity ["limits" "most_v"] "most volts" VOLTS, "16 V" Manual;
    CAVITY_MOST_A Cavity ["limits" "most_a"] "most current, running" AMPS, "0.5 A" Manual;
    CAVITY_PEAK_A Cavity ["limits" "peak_a"] "most current for a moment" AMPS, "2 A" Manual;
    CAVITY_PEAK_S Cavity ["limits" "peak_s"] "how long that moment may last" SECONDS, "100 ms" Manual;
    CAVITY_LEAST_A Cavity ["limits" "least_a"] "least current that keeps the contact clean" AMPS, "10 mA" Manual;
    CAVITY_PULL Cavity ["limits" "pull"] "pull inside" OneOf(PULLS), "to ground" Manual;
    CAVITY_PULL_OHM Cavity ["limits" "pull" "ohm"] "ohms of the pull inside" OHMS, "10 kΩ" Manual;
    CAVITY_RELEASE Cavity ["limits" "release_s"] "how long it stays on after switch-off" SECONDS, "0.5 s" Manual;
    CAVITY_REST_V Cavity ["limits" "rest_v"] "volts at rest" VOLTS, "0.5 V" Manual;
    SENSOR_OHM Cavity ["limits" "sensor_ohm"] "sensor's ohms at 25 °C" OHMS, "1 kΩ" Sheet;
    SENSOR_PER_K Cavity ["limits" "sensor_pct_per_k"] "what a kelvin changes of the sensor's ohms" Amount(Quantity::Share), "0.8 %" Sheet;
    CAVITY_FULL_V Cavity ["limits" "full_v"] "volts at full" VOLTS, "4.5 V" Manual;

    SOURCE_LIMIT Part ["kind" "source" "limit_a"] "most current" AMPS, "30 A" Manual;
    LOAD_LEAST_V Part ["kind" "load" "least_v"] "volts below which it drops out" VOLTS, "9 V" Manual;
    LOAD_INRUSH_A Part ["kind" "load" "inrush_a"] "inrush current" AMPS, "12 A" Manual;
    LOAD_INRUSH_S Part ["kind" "load" "inrush_s"] "length of the inrush" SECONDS, "100 ms" Manual;
    LOAD_ASLEEP_A Part ["kind" "load" "asleep_a"] "current asleep" AMPS, "2 mA" Manual;
    LAMP_COLD_OHM Part ["kind" "lamp" "cold_ohm"] "cold resistance" OHMS, "0.6 Ω" Manual;
    LAMP_RATED_V Part ["kind" "lamp" "rated_v"] "rated volts" VOLTS, "12 V" Manual;
    COIL_PULL_IN_V Part ["kind" "coil" "pull_in_v"] "pull-in volts at 20 °C" VOLTS, "9 V" Manual;
    COIL_DROP_OUT_V Part ["kind" "coil" "drop_out_v"] "drop-out volts at 20 °C" VOLTS, "2 V" Manual;
    COIL_PULL_IN_S Part ["kind" "coil" "pull_in_s"] "how long the full pull lasts" SECONDS, "100 ms" Manual;
    COIL_SUPPRESSION Part ["kind" "coil" "suppression"] "suppression" OneOf(SUPPRESSIONS), "diode" Manual;
    CONTACT_MOST_A Part ["kind" "contact" "most_a"] "most current" AMPS, "20 A" Manual;
    CONTACT_LEAST_A Part ["kind" "contact" "least_a"] "least current that keeps it clean" AMPS, "100 mA" Manual;
    OUTPUT_MOST_A Part ["kind" "output" "most_a"] "most current, running" AMPS, "1 A" Manual;
    OUTPUT_PEAK_A Part ["kind" "output" "peak_a"] "most current for a moment" AMPS, "3 A" Manual;
    OUTPUT_PEAK_S Part ["kind" "output" "peak_s"] "how long that moment may last" SECONDS, "100 ms" Manual;
    OUTPUT_CLAMP Part ["kind" "output" "clamp"] "whether it limits a coil's volts by itself" Measure::YesNo, "no" Manual;
    REFERENCE_LIMIT Part ["kind" "reference" "limit_a"] "most current" AMPS, "100 mA" Manual;

    CAVITY_CONTACT Cavity ["contact"] "contact family" Measure::Record(Kind::ContactFamily), "S" Sheet;
    CONTACT_LEAST_MM2 ContactFamily ["least_mm2"] "thinnest wire" Measure::Area, "0.35 mm2" Sheet;
    CONTACT_MOST_MM2 ContactFamily ["most_mm2"] "thickest wire" Measure::Area, "0.5 mm2" Sheet;
    SEAL_LEAST_MM ContactFamily ["seal_least_mm"] "thinnest insulation its seal grips" Measure::Millimetres, "1.2 mm" Sheet;
    SEAL_MOST_MM ContactFamily ["seal_most_mm"] "thickest insulation its seal takes" Measure::Millimetres, "1.9 mm" Sheet;
    CONTACT_PLATING ContactFamily ["plating"] "plating" OneOf(PLATINGS), "tin" Sheet;
    CONTACT_FAMILY_MOST_A ContactFamily ["most_a"] "most current of a single contact" AMPS, "8 A" Sheet;
    SLEEVE_LEAST_MM2 Junction ["sleeve_least_mm2"] "least that its sleeve holds" Measure::Area, "1 mm2" Sheet;
    SLEEVE_MOST_MM2 Junction ["sleeve_most_mm2"] "most that its sleeve holds" Measure::Area, "4 mm2" Sheet;
    CONTACT_OHM ContactFamily ["resistance_ohm"] "resistance of one mated contact" OHMS, "6 mΩ" Sheet;
    CONTACT_STRIP ContactFamily ["strip_mm"] "length to strip" Measure::Millimetres, "4 mm" Sheet;
    FUSE_MELTING Fuse ["melting_a2s"] "melting I²t" Amount(Quantity::MeltingIntegral), "340 A²s" Sheet;
    FUSE_COLD_OHM Fuse ["cold_ohm"] "resistance when cold" OHMS, "7 mΩ" Sheet;
    FUSE_RATED_V Fuse ["rated_v"] "rated volts" VOLTS, "32 V" Sheet;
    FUSE_BREAKING Fuse ["breaking_a"] "breaking capacity" AMPS, "1000 A" Sheet;
    FUSE_AMBIENT Fuse ["ambient_factor"] "share of the rating left at its ambient" Measure::Number, "0.9" Sheet;
    JOINT_OHM Junction ["joint_ohm"] "resistance of a joint" OHMS, "0.5 mΩ" Vehicle;
}
