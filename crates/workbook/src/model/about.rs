//! The workbook's own page, the vehicle's zones and its bundles.

use super::*;

/// The vehicle and the defaults of its workbook; there is exactly one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct About {
    /// Id.
    pub id: Id<About>,
    /// The vehicle, as people call it.
    pub vehicle: String,
    /// What the harness is for, in a sentence or two.
    #[serde(default)]
    pub purpose: String,
    /// Supply voltages that the computing uses.
    pub supply: Supply,
    /// The stud that is battery negative: the reference of all voltages.
    #[serde(default)]
    pub reference: Option<Id<Junction>>,
    /// Table the sizes of wires are read from where a wire names none.
    #[serde(default)]
    pub size_table: SizeTable,
    /// Insulation class of wires that name none, °C for ever.
    #[serde(default)]
    pub insulation_class_c: Option<f64>,
    /// Insulation material of wires that name none, as in the table of short-circuit limits (`PVC`, `XLPE`).
    #[serde(default)]
    pub insulation: String,
    /// The house custom for wire colours, in words.
    #[serde(default)]
    pub colour_custom: String,
    /// How it wakes up, goes to sleep and is made safe, for the record's first page.
    #[serde(default)]
    pub service_note: String,
}
row!(
    About,
    about,
    label = vehicle,
    refs = |this, see| {
        if let Some(id) = this.reference {
            see(Ref::to(id, "reference"));
        }
    }
);

/// Supply voltages at the battery's posts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Supply {
    /// Lowest at which everything must still work, V.
    pub least_v: f64,
    /// Usual, V.
    pub nominal_v: f64,
    /// Highest, V.
    pub most_v: f64,
}

/// A place in the vehicle that shares heat and wet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Id.
    pub id: Id<Zone>,
    /// Name (`cabin`).
    pub label: String,
    /// Hottest ambient, °C.
    #[serde(default)]
    pub ambient_c: Option<f64>,
    /// Whether water reaches it.
    #[serde(default)]
    pub wet: bool,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(Zone, zones, label = label, refs = |_this, _see| {});

/// Wires that lie together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bundle {
    /// Id.
    pub id: Id<Bundle>,
    /// Name (`tunnel`).
    pub label: String,
    /// Factor on the current a wire may carry, by the builder's decision; none: by the loaded wires.
    #[serde(default)]
    pub factor: Option<f64>,
    /// Least distance to traction cables along its way, crossings at a right angle aside, m.
    #[serde(default)]
    pub traction_m: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(Bundle, bundles, label = label, refs = |_this, _see| {});
