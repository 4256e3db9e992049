//! Settings outside the limits that are stated for them, and settings that do not suit the cavity they belong to.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, number},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Cavity, Id, Kind, Setting, SettingRole, SignalKind, Unit},
};
use std::collections::BTreeMap;

pub(super) static CHECK: Check = Check {
    name: "setting-limits",
    what: "a setting lies within the limits that are stated for it, and belongs to a cavity of its unit that suits what it sets",
    inputs: "values, least and most of settings, what they set, kinds of cavities",
    source: "the units' manuals, as entered",
    rests_on: &[(
        Kind::Setting,
        &["value", "measure", "role", "least", "most", "cavities"],
    )],
    reads: &[(Kind::Setting, &[])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut unlimited: BTreeMap<Id<Unit>, Vec<String>> = BTreeMap::new();
    for setting in book.all::<Setting>().values() {
        match (setting.figure(), setting.least, setting.most) {
            (Some(_), None, None) => {
                let labels = unlimited.entry(setting.unit).or_default();
                labels.push(setting.label.clone());
            }
            (Some(value), least, most) => outside(book, setting, value, (least, most), out),
            (None, None, None) => {}
            (None, ..) => {
                let words = format!("a figure instead of {:?}, since limits are stated", setting.value);
                out.cannot(CHECK.name, setting.id, words, []);
            }
        }
        for cavity in setting.cavities.iter().filter_map(|id| book.get(*id)) {
            belongs(see, setting, cavity, out);
        }
    }
    for (unit, labels) in unlimited {
        let words = format!("least and most, by its manual, of {}", list(&few(labels)));
        out.cannot(CHECK.name, unit, words, []);
    }
}

/// The first labels, and how many more.
fn few(mut labels: Vec<String>) -> Vec<String> {
    const SHOWN: usize = 4;
    let more = labels.len().saturating_sub(SHOWN);
    if more > 1 {
        labels.truncate(SHOWN);
        labels.push(format!("{more} more"));
    }
    labels
}

fn outside(
    book: &Book,
    setting: &Setting,
    value: f64,
    (least, most): (Option<f64>, Option<f64>),
    out: &mut Out,
) {
    let (limit, words) = match (least, most) {
        (Some(least), _) if value < least => (least, "below the least"),
        (_, Some(most)) if value > most => (most, "above the most"),
        _ => return,
    };
    let sentence = format!(
        "{} of {} is {}, {words} that is stated, {}.",
        setting.label,
        book.label_of::<Unit>(setting.unit),
        setting.shown(),
        format!("{} {}", number(limit), setting.measure).trim()
    );
    out.find(
        Finding::new(CHECK.name, Level::Warning, setting.id, sentence)
            .figure(Figure::against("set to", value, limit, measure(&setting.measure)))
            .matters("The unit refuses it, cuts it off without telling, or does what its maker never tried.")
            .mend(Mend::words(
                "read the value out of the unit again, then turn it or correct its limits",
            ))
            .source(CHECK.source),
    );
}

/// A unit that figures are told in; others go without.
fn measure(of: &str) -> &'static str {
    const KNOWN: [&str; 10] = ["V", "A", "%", "s", "ms", "Ω", "rpm", "km/h", "kbit/s", "Ah"];
    KNOWN.iter().find(|known| **known == of).copied().unwrap_or("")
}

/// Whether a cavity that a setting belongs to is one of its unit, and of a kind that suits what is set.
fn belongs(see: &Snapshot, setting: &Setting, cavity: &Cavity, out: &mut Out) {
    let book = see.book();
    let unit = book.label_of::<Unit>(setting.unit);
    let find = |level, sentence: String, matters| {
        Finding::new(CHECK.name, level, setting.id, sentence)
            .with([cavity.id])
            .matters(matters)
            .mend(Mend::words(
                "look at the manual: correct the setting's cavities, or the cavity's kind",
            ))
            .source(CHECK.source)
    };
    if see.unit_of(cavity.id).is_some_and(|of| of != setting.unit) {
        let sentence = format!(
            "{} of {unit} belongs to {}, which is no cavity of {unit}.",
            setting.label,
            named(book, cavity)
        );
        out.find(find(
            Level::Warning,
            sentence,
            "Whoever turns it looks at the wrong wire.",
        ));
        return;
    }
    let (Some(role), Some(kind)) = (setting.role, cavity.kind) else {
        return;
    };
    if let Some(needs) = unsuited(role, kind) {
        let sentence = format!(
            "{} sets \"{}\", but {} is a {}, no {needs}.",
            setting.label,
            role.words(),
            named(book, cavity),
            kind.words()
        );
        out.find(find(
            Level::Stop,
            sentence,
            "The unit reads the input in another way than it is wired.",
        ));
    }
}

/// What kind a role needs, where a cavity is none of it.
fn unsuited(role: SettingRole, kind: SignalKind) -> Option<&'static str> {
    use SettingRole::{
        CanRate, InputSense, PedalDeadHigh, PedalDeadLow, PedalDisagree, PedalFull, PedalHighFault,
        PedalLowFault, PedalRest, PedalShape,
    };
    let (suits, needs) = match role {
        PedalRest | PedalFull | PedalLowFault | PedalHighFault | PedalDeadLow | PedalDeadHigh
        | PedalDisagree | PedalShape => (
            matches!(
                kind,
                SignalKind::AnalogueIn | SignalKind::ResistanceIn | SignalKind::PwmIn
            ),
            "analogue input",
        ),
        InputSense => (
            matches!(
                kind,
                SignalKind::DigitalInHigh | SignalKind::DigitalInLow | SignalKind::DigitalInBare
            ),
            "digital input",
        ),
        CanRate => (
            matches!(kind, SignalKind::CanHigh | SignalKind::CanLow),
            "CAN line",
        ),
        _ => return None,
    };
    (!suits).then_some(needs)
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn coast(value: &str, least: Option<f64>, most: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        let id = bench.setting("MC", "COAST", value, "%", &[]);
        bench.edit(id, |s: &mut Setting| (s.least, s.most) = (least, most));
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        let of = report.of("setting-limits");
        of.map(|f| (f.level, f.sentence.clone())).collect()
    }

    fn missing(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        let of = report
            .cannot_check
            .iter()
            .filter(|c| c.checks.contains(&"setting-limits"));
        of.map(|c| c.missing.clone()).collect()
    }

    #[test]
    fn a_value_outside_of_what_is_stated_is_found() {
        assert_eq!(found(&coast("40", Some(0.0), Some(40.0))), []);
        assert_eq!(found(&coast("1", None, Some(40.0))), []);
        assert_eq!(
            found(&coast("41", Some(0.0), Some(40.0))),
            [(
                Level::Warning,
                "COAST of MC is 41 %, above the most that is stated, 40 %.".to_owned()
            )]
        );
        assert!(
            found(&coast("-1", Some(0.0), None))[0]
                .1
                .contains("below the least")
        );
    }

    #[test]
    fn what_is_not_stated_is_asked_for_once_a_unit() {
        let mut bench = coast("18", None, None);
        for label in ["A", "B", "C", "D", "E"] {
            bench.setting("MC", label, "1", "", &[]);
        }
        bench.setting("MC", "SENSE", "active-high", "", &[]);
        assert_eq!(
            missing(&bench),
            ["least and most, by its manual, of COAST, A, B, C and 2 more"]
        );
        assert_eq!(
            missing(&coast("18 %", None, Some(40.0))),
            ["a figure instead of \"18 %\", since limits are stated"]
        );
    }

    #[test]
    fn a_setting_suits_the_cavity_it_belongs_to() {
        let kind = |kind| {
            let mut bench = Bench::new();
            let id = bench.setting("MC", "P047", "0.5", "V", &["MC-A10"]);
            bench.edit(id, |s: &mut Setting| {
                (s.least, s.most) = (Some(0.0), Some(5.0));
                s.role = Some(SettingRole::PedalRest);
            });
            let cavity = bench.cavity("MC-A", "10");
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
            found(&bench)
        };
        assert_eq!(kind(SignalKind::AnalogueIn), []);
        let digital = kind(SignalKind::DigitalInHigh);
        assert_eq!(digital[0].0, Level::Stop);
        assert!(digital[0].1.contains("no analogue input"), "{digital:?}");
    }

    #[test]
    fn a_cavity_of_another_unit_is_found() {
        let mut bench = Bench::new();
        bench.setting("BM", "RATE", "x", "", &["MC-A10"]);
        let found = found(&bench);
        assert!(found[0].1.contains("no cavity of BM"), "{found:?}");
    }
}
