//! What lies on the shelf, and which colours the house gives to what.

use super::*;

/// A drum, or a length, of one wire.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drum {
    /// Id.
    pub id: Id<Drum>,
    /// Short name (`D3`).
    pub label: String,
    /// Conductor area, mm².
    pub area_mm2: f64,
    /// The size as written, where it is not in mm² (`16 AWG`).
    #[serde(default)]
    pub size_written: String,
    /// Insulation class for ever, °C; the workbook's where absent.
    #[serde(default)]
    pub insulation_class_c: Option<f64>,
    /// Colour and tracer.
    #[serde(default, with = "colour")]
    #[schemars(schema_with = "colour::schema")]
    pub colour: Option<WireColour>,
    /// What was on it before the first wire of this loom was cut from it, m.
    pub stock_m: f64,
    /// Anything else (maker's number, where it stands).
    #[serde(default)]
    pub note: String,
}
row!(Drum, drums, label = label, refs = |_this, _see| {});

/// How many there are of one line of the parts list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StockLine {
    /// Id.
    pub id: Id<StockLine>,
    /// The line as the parts list words it (`contact M, 0.5 mm²`).
    pub label: String,
    /// In the drawer before anything was ordered.
    #[serde(default)]
    pub have: f64,
    /// Ordered in all.
    #[serde(default)]
    pub ordered: f64,
    /// Of those ordered, come.
    #[serde(default)]
    pub here: f64,
    /// Anything else (whom from, order number).
    #[serde(default)]
    pub note: String,
}
row!(StockLine, stock_lines, label = label, refs = |_this, _see| {});

/// The house's custom: a colour that one use of wires gets, and no other use.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ColourUse {
    /// Id.
    pub id: Id<ColourUse>,
    /// What the wires are for.
    pub purpose: WireUse,
    /// The colour; without a tracer any tracer will do.
    #[serde(default, with = "colour")]
    #[schemars(schema_with = "colour::schema")]
    pub colour: Option<WireColour>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(ColourUse, colour_uses, refs = |_this, _see| {});

macro_rules! uses {
    ($($variant:ident $words:literal $doc:literal,)*) => {
        /// What a wire is for, as far as its colour goes.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum WireUse { $(#[doc = $doc] $variant,)* }
        impl WireUse {
            /// Every use, in order.
            pub const ALL: &'static [WireUse] = &[$(WireUse::$variant,)*];
            /// In a word or two.
            pub fn words(self) -> &'static str { match self { $(WireUse::$variant => $words,)* } }
        }
    };
}

uses! {
    Ground "ground" "Battery negative and chassis.",
    Permanent "permanent" "Supply that nothing switches off.",
    Switched "switched" "Supply behind a switch, a relay or a high-side output.",
    Drive "switched ground" "Ground behind a low-side output.",
    SensorSupply "sensor supply" "What a unit feeds its sensors with.",
    SensorReturn "sensor return" "What a unit takes its sensors' current back with.",
    CanHigh "CAN H" "CAN H.",
    CanLow "CAN L" "CAN L.",
    Signal "signal" "Everything else that carries a level.",
}

/// A terminal number of DIN 72552 given to a place, and with it to the net it is on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TerminalNumber {
    /// Id.
    pub id: Id<TerminalNumber>,
    /// The cavity (a relay's way), splice, stud or inner node.
    pub at: Terminal,
    /// The number (`15`, `87a`).
    pub number: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    TerminalNumber,
    terminal_numbers,
    refs = |this, see| {
        this.at.refs("at", see);
    }
);
