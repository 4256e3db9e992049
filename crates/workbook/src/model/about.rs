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
    /// What else whoever services or rescues it must know, for the record's service page.
    #[serde(default)]
    pub service: ServiceNotes,
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

/// What whoever services or rescues the vehicle must know, in the builder's words; empty: not written.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceNotes {
    /// Where the 12 V battery and the traction battery are parted from the vehicle, where orange cables run.
    #[serde(default)]
    pub disconnect: String,
    /// How it is towed or pushed, and what must not be done then.
    #[serde(default)]
    pub towing: String,
    /// What to do when the 12 V battery is flat.
    #[serde(default)]
    pub flat: String,
    /// What each warning lamp means.
    #[serde(default)]
    pub lamps: String,
    /// Spares that are carried or that it needs: fuses, relays, contacts, extraction tool.
    #[serde(default)]
    pub spares: String,
    /// What it does that looks like a fault and is none.
    #[serde(default)]
    pub quirks: String,
    /// Papers of approval, inspection and insurance, and where they are.
    #[serde(default)]
    pub papers: String,
}

impl ServiceNotes {
    /// Each note by what it tells, in the order in which they are needed beside the road.
    pub fn told(&self) -> [(&'static str, &str); 7] {
        [
            ("where to disconnect it", self.disconnect.trim()),
            ("how to tow it", self.towing.trim()),
            ("what to do with a flat 12 V battery", self.flat.trim()),
            ("what its lamps mean", self.lamps.trim()),
            ("spares", self.spares.trim()),
            ("quirks", self.quirks.trim()),
            ("papers", self.papers.trim()),
        ]
    }
}

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
    /// Where its middle lies in the vehicle, seen from above; none: not told.
    #[serde(default)]
    pub plan: Option<PlanPlace>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}
row!(Zone, zones, label = label, refs = |_this, _see| {});

/// A place on the vehicle's plan, in parts of its length and width, so that no vehicle need be measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanPlace {
    /// Along it, %: 0 is the front, 100 the rear.
    pub from_front_pct: f64,
    /// Across it, %: 0 is the left side, 100 the right, as the driver sits.
    pub from_left_pct: f64,
}

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
