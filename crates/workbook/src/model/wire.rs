//! Wires.

use super::*;

/// One conductor from one end to another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wire {
    /// Id.
    pub id: Id<Wire>,
    /// Short name (`W44`).
    pub label: String,
    /// What it carries, in words.
    #[serde(default)]
    pub signal: String,
    /// Where it comes from.
    pub from: End,
    /// Where it goes.
    pub to: End,
    /// Conductor area, mm².
    #[serde(default)]
    pub area_mm2: Option<f64>,
    /// The size as written, where it is not in mm² (`16 AWG`).
    #[serde(default)]
    pub size_written: String,
    /// Table its size is read from; the workbook's where absent.
    #[serde(default)]
    pub size_table: Option<SizeTable>,
    /// Insulation class for ever, °C; the workbook's where absent.
    #[serde(default)]
    pub insulation_class_c: Option<f64>,
    /// Colour and tracer.
    #[serde(default, with = "colour")]
    #[schemars(schema_with = "colour::schema")]
    pub colour: Option<WireColour>,
    /// Length, m.
    #[serde(default)]
    pub length_m: Option<f64>,
    /// Bundle it lies in; none: alone in air.
    #[serde(default)]
    pub bundle: Option<Id<Bundle>>,
    /// Name of the twisted or shielded pair it belongs to.
    #[serde(default)]
    pub pair: String,
    /// A fuse in line with it.
    #[serde(default)]
    pub inline_fuse: Option<InlineFuse>,
    /// The fuse the builder means to protect it; compared with the one that is traced.
    #[serde(default)]
    pub fuse: Option<Id<Fuse>>,
    /// Usual voltage, V.
    #[serde(default)]
    pub nominal_v: Option<f64>,
    /// Usual current as planned, A.
    #[serde(default)]
    pub typical_a: Option<f64>,
    /// Highest short current as planned, A.
    #[serde(default)]
    pub peak_a: Option<f64>,
    /// How much the wire alone may drop at its running current, V.
    #[serde(default)]
    pub drop_limit_v: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(
    Wire,
    wires,
    label = label,
    refs = |this, see| {
        this.from.refs("from", see);
        this.to.refs("to", see);
        if let Some(id) = this.bundle {
            see(Ref::to(id, "bundle"));
        }
        if let Some(fuse) = this.inline_fuse {
            see(Ref::to(fuse.fuse, "inline_fuse"));
        }
        if let Some(id) = this.fuse {
            see(Ref::to(id, "fuse"));
        }
    }
);

/// A fuse in line with a wire.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InlineFuse {
    /// The fuse.
    pub fuse: Id<Fuse>,
    /// Distance from the wire's `from` end, m.
    pub from_end_m: f64,
}

/// Tables of conductor sizes. The three systems are different sizes; none is taken for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SizeTable {
    /// ISO 6722 / ISO 19642 thin-wall vehicle wire.
    #[default]
    Iso6722,
    /// IEC 60228 class 5.
    Iec60228Class5,
    /// AWG, from its formula.
    Awg,
}
