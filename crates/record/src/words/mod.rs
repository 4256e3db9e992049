//! Words and figures as tables and pages show them.

mod limits;
mod part;

use crimpbook_core::quantity::Awg;
use crimpbook_workbook::{
    Book,
    check::{Figure, Finding},
    circuit::Trouble,
    model::{
        Decision, FuseKind, JunctionKind, Key, Outcome, PartPosition, Rests, SizeTable, StepDone, SwitchKind,
        Trial, Verdict, Wire,
    },
};
pub use limits::limits;
pub use part::part;

/// A decision in words, with the other cavity of a bridge (`bridged to MC-A2`).
pub fn decision(book: &Book, decision: Decision) -> String {
    match decision {
        Decision::Bridged { to } => format!("bridged to {}", book.cavity_name(to)),
        other => other.words().to_owned(),
    }
}

/// A junction in a word.
pub fn junction(kind: JunctionKind) -> &'static str {
    match kind {
        JunctionKind::Splice => "splice",
        JunctionKind::Stud => "stud",
        JunctionKind::GroundStud => "ground stud",
    }
}

/// A fuse's kind.
pub fn fuse_kind(kind: FuseKind) -> &'static str {
    match kind {
        FuseKind::Blade => "blade",
        FuseKind::HighCurrentBlade => "high-current blade",
        FuseKind::Cartridge => "cartridge",
        FuseKind::BoltIn => "bolt-in",
    }
}

/// A table of conductor sizes.
pub fn size_table(table: SizeTable) -> &'static str {
    match table {
        SizeTable::Iso6722 => "ISO 6722",
        SizeTable::Iec60228Class5 => "IEC 60228 class 5",
        SizeTable::Awg => "AWG",
    }
}

/// What has positions.
pub fn switch_kind(kind: SwitchKind) -> &'static str {
    match kind {
        SwitchKind::Switch => "switch",
        SwitchKind::Lead => "lead",
        SwitchKind::Condition => "condition inside a unit",
    }
}

/// What a rule rests on.
pub fn rests(rests: Rests) -> &'static str {
    match rests {
        Rests::Wiring => "the wiring",
        Rests::Setting => "a setting",
        Rests::Firmware => "firmware",
        Rests::Time => "a time",
    }
}

/// What came of a candidate.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Weighed => "still weighed",
        Verdict::Chosen => "chosen",
        Verdict::Refused => "refused",
    }
}

/// What came of a step.
pub fn outcome(step: &StepDone) -> &'static str {
    match (step.outcome, &step.redo) {
        (_, Some(_)) => "to be redone",
        (Outcome::Done, None) => "done",
        (Outcome::Failed, None) => "failed",
        (Outcome::Skipped, None) => "skipped",
    }
}

/// Places of a finding, the place itself first.
pub fn places(book: &Book, places: &[Key]) -> String {
    let names: Vec<String> = places.iter().map(|key| book.name_of(*key)).collect();
    names.join(", ")
}

/// Marks of a trial (`coast 4, creep 3`).
pub fn marks(trial: &Trial) -> String {
    let marks: Vec<String> = trial
        .marks
        .iter()
        .map(|m| format!("{} {}", m.name, m.mark))
        .collect();
    marks.join(", ")
}

/// Peaks of a trial (`motor 212 A, battery 148 A`).
pub fn peaks(trial: &Trial) -> String {
    let peaks: Vec<String> = trial
        .peaks
        .iter()
        .map(|p| format!("{} {} {}", p.name, p.value, p.measure).trim().to_owned())
        .collect();
    peaks.join(", ")
}

/// How an inside part stands in a state.
pub fn part_position(position: PartPosition) -> String {
    match position {
        PartPosition::On => "on".to_owned(),
        PartPosition::Off => "off".to_owned(),
        PartPosition::Starting => "starting".to_owned(),
        PartPosition::Travel(share) => format!("at {share}"),
    }
}

/// Figures of a finding against their limits (`drop 1.02 V, limit 0.5 V; current 9 A`).
pub fn figures(finding: &Finding) -> String {
    finding.figures.iter().map(figure).collect::<Vec<_>>().join("; ")
}

/// A figure against its limit.
pub fn figure(figure: &Figure) -> String {
    let with_unit = |value: f64| match figure.unit {
        "" => rounded(value).to_string(),
        unit => format!("{} {unit}", rounded(value)),
    };
    let limit = figure.limit.map(|limit| format!(", limit {}", with_unit(limit)));
    format!(
        "{} {}{}",
        figure.name,
        with_unit(figure.value),
        limit.unwrap_or_default()
    )
}

pub use crimpbook_core::quantity::rounded;

/// A wire's size as given, and the nearest gauge or the area beside it (`0.5 mm²`, `near AWG 20`); empty where not known.
pub fn size(wire: &Wire) -> (String, String) {
    match (wire.area_mm2, wire.size_written.as_str()) {
        (Some(area), "") => (format!("{area} mm²"), format!("near AWG {}", Awg::nearest(area))),
        (Some(area), written) => (written.to_owned(), format!("{area} mm²")),
        (None, written) => (written.to_owned(), String::new()),
    }
}

/// Why a state is not computed.
pub fn trouble(book: &Book, trouble: &Trouble) -> String {
    trouble.words(book)
}
