//! What verbs that take much take.

use clap::Args;

/// What was seen and read.
#[derive(Debug, Clone, Args)]
pub struct SuspectsArgs {
    /// The operating state that the switches stand in
    #[arg(long, value_name = "NAME")]
    pub state: String,
    /// What is seen: "MC.ready off", "fault lamp on", "F4 blown"; in another state: "CHARGE: MC.ready on"; as often as there
    /// is something
    #[arg(long, value_name = "WHAT on|off")]
    pub symptom: Vec<String>,
    /// Every other lamp and load does what it does without a fault
    #[arg(long)]
    pub else_usual: bool,
    /// What a meter shows at a cavity against its unit's own ground, V: MC-A14=0.02; as often as there is one
    #[arg(long, value_name = "CAVITY=VOLTS")]
    pub reading: Vec<String>,
    /// Volts at the battery's posts at rest, all off: every reading then tells more
    #[arg(long, value_name = "VOLTS")]
    pub battery: Option<f64>,
    /// As JSON with stable names
    #[arg(long)]
    pub json: bool,
}

/// What is tried.
#[derive(Debug, Clone, Args)]
pub struct TryArgs {
    /// A field and its new value, by the names of the interchange JSON: wire.W44.area_mm2=1.5
    #[arg(value_name = "KIND.LABEL.FIELD=VALUE", required_unless_present = "remove")]
    pub field: Vec<String>,
    /// What goes: wire.W44; as often as there is something
    #[arg(long, value_name = "KIND.LABEL")]
    pub remove: Vec<String>,
    /// Prove the rules before and then, which takes a while
    #[arg(long)]
    pub proofs: bool,
    /// Keep it as one change of the log
    #[arg(long)]
    pub keep: bool,
    /// Why, as it stands in the log
    #[arg(long, value_name = "WHY", requires = "keep")]
    pub why: Option<String>,
}

/// The form of an export.
#[derive(Debug, Clone, Args)]
#[group(required = true, multiple = false)]
pub struct ExportForm {
    /// The whole workbook with its log
    #[arg(long)]
    pub json: bool,
    /// Every table, one file each
    #[arg(long)]
    pub csv: bool,
    /// The whole workbook with its log as a folder of CSV that can be read back
    #[arg(long)]
    pub bundle: bool,
    /// One operating state as SPICE text; --state names it
    #[arg(long, requires = "state")]
    pub netlist: bool,
}
