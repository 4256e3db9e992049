//! Settings that tell a unit which sort of sensor it reads, against the sensor that is wired to it.

use super::{
    Check, Finding, Level, Mend, Out,
    common::{settings, words::cavity as named},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Kind, Part, PartKind, Setting, SettingRole},
};

pub(super) static CHECK: Check = Check {
    name: "setting-sensor-type",
    what: "the sort of sensor that a unit's software is told of is the sort that is wired to the input",
    inputs: "settings said, or by their name taken, to set the type of a sensor (potentiometer, hall or ratiometric, resistance such as NTC, PTC or silicon), their cavities, sensors on their nets",
    source: "common practice, no source",
    rests_on: &[(Kind::Setting, &["value", "role", "cavities"])],
    reads: &[(Kind::Setting, &[])],
    find,
};

/// Sorts of sensors that an input must read in different ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    /// A wiper between a supply and a return.
    Potentiometer,
    /// An active sensor that gives a share of its supply.
    Active,
    /// Two ends and a resistance that follows what is sensed.
    Resistance,
}

/// Words of which values of such settings have one, whole.
const WORDS: &[(&str, Sort)] = &[
    ("pot", Sort::Potentiometer),
    ("potentiometer", Sort::Potentiometer),
    ("potmeter", Sort::Potentiometer),
    ("hall", Sort::Active),
    ("ratiometric", Sort::Active),
    ("active", Sort::Active),
    ("ntc", Sort::Resistance),
    ("ptc", Sort::Resistance),
    ("thermistor", Sort::Resistance),
    ("silicon", Sort::Resistance),
    ("resistance", Sort::Resistance),
    ("resistor", Sort::Resistance),
    ("pt100", Sort::Resistance),
    ("pt1000", Sort::Resistance),
];

impl Sort {
    fn words(self) -> &'static str {
        match self {
            Self::Potentiometer => "a potentiometer",
            Self::Active => "an active sensor",
            Self::Resistance => "a resistance",
        }
    }

    /// The sort that a value tells; none: no such word, or several that differ.
    fn told(value: &str) -> Option<Self> {
        let value = value.to_lowercase();
        let mut told = value
            .split(|c: char| !c.is_alphanumeric())
            .filter_map(|word| WORDS.iter().find(|(known, _)| *known == word).map(|row| row.1));
        let first = told.next()?;
        told.all(|next| next == first).then_some(first)
    }
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let all = book.all::<Setting>().values();
    for setting in all.filter(|s| settings::role(s) == Some(SettingRole::SensorType)) {
        let Some(told) = Sort::told(&setting.value) else {
            let words = format!(
                "which sort of sensor {:?} means, written as potentiometer, hall or resistance",
                setting.value
            );
            out.cannot(CHECK.name, setting.id, words, []);
            continue;
        };
        if setting.cavities.is_empty() {
            let words = format!("the cavity that {} is for", setting.label);
            out.cannot(CHECK.name, setting.id, words, []);
        }
        let cavities = setting.cavities.iter().filter_map(|id| book.get(*id));
        for cavity in cavities.filter(|cavity| cavity.decision == Decision::Wired) {
            judge(see, setting, told, cavity, out);
        }
    }
}

fn judge(see: &Snapshot, setting: &Setting, told: Sort, cavity: &Cavity, out: &mut Out) {
    let book = see.book();
    let Some((sensor, is)) = sensor(see, cavity) else {
        let words = format!("which sensor {} reads", named(book, cavity));
        out.cannot(CHECK.name, setting.id, words, []);
        return;
    };
    if is == told {
        return;
    }
    let sentence = format!(
        "{} says {} of {}, but {} there is {}.",
        setting.label,
        setting.value,
        named(book, cavity),
        sensor.label,
        is.words(),
    );
    // Whatever gives a voltage of its own is at least read; a resistance is not, and the other way round.
    let level = if told == Sort::Resistance || is == Sort::Resistance {
        Level::Stop
    } else {
        Level::Warning
    };
    out.find(
        Finding::new(CHECK.name, level, setting.id, sentence)
            .with([cavity.id])
            .with([sensor.id])
            .matters("The unit reads another thing than there is: a wrong value, or a broken wire that is not seen.")
            .mend(Mend::words(
                "look at the manual and at the sensor, then set the one that is wired",
            ))
            .source(CHECK.source),
    );
}

/// The sensor on a cavity's net that belongs to another unit.
fn sensor<'a>(see: &'a Snapshot, cavity: &Cavity) -> Option<(&'a Part, Sort)> {
    let nets = &see.signals().nets;
    let net = nets.get(nets.at_cavity(cavity.id)?)?;
    let own = see.unit_of(cavity.id);
    net.parts.iter().find_map(|(id, place)| {
        let part: &Part = see.book().get(*id)?;
        let sort = match (&part.kind, *place) {
            (PartKind::Potentiometer { .. }, 2) => Sort::Potentiometer,
            (PartKind::Ratiometric { .. }, 2) => Sort::Active,
            (PartKind::Resistor { .. }, _) => Sort::Resistance,
            _ => return None,
        };
        (Some(part.unit) != own).then_some((part, sort))
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn told(kind: Option<PartKind>, value: &str) -> (Vec<Level>, Vec<String>) {
        let mut bench = Bench::new();
        bench.battery();
        if let Some(kind) = kind {
            let ends: &[&str] = match kind {
                PartKind::Resistor { .. } => &["TS-A3", "TS-A5"],
                PartKind::Potentiometer { .. } => &["TS-A5", "TS-A1", "TS-A3"],
                _ => &["TS-A1", "TS-A5", "TS-A3"],
            };
            bench.part("sender", kind, ends);
        }
        bench.wire("W31", "TS-A3", "MC-A6", 0.5, 1.0);
        let cavity = bench.cavity("MC-A", "6");
        bench.edit(cavity, |c: &mut Cavity| c.decision = Decision::Wired);
        let id = bench.setting("MC", "P077", value, "", &["MC-A6"]);
        let none = run_without_mends(&bench.snapshot());
        assert_eq!(
            none.of("setting-sensor-type").count(),
            0,
            "nobody has said what it sets"
        );
        bench.edit(id, |s: &mut Setting| s.role = Some(SettingRole::SensorType));
        let report = run_without_mends(&bench.snapshot());
        let levels = report.of("setting-sensor-type").map(|f| f.level).collect();
        let missing = report.cannot_check.into_iter();
        let missing = missing.filter(|c| c.checks.contains(&"setting-sensor-type"));
        (levels, missing.map(|c| c.missing).collect())
    }

    fn resistance() -> Option<PartKind> {
        Some(PartKind::Resistor { ohm: 1000.0 })
    }

    fn active() -> Option<PartKind> {
        Some(PartKind::Ratiometric {
            a: 0.15,
            b: 0.7,
            ohm: 1000.0,
            draws_a: 0.01,
        })
    }

    fn pot() -> Option<PartKind> {
        Some(PartKind::Potentiometer { ohm: 5000.0 })
    }

    #[test]
    fn the_sort_that_is_set_is_held_against_the_sensor() {
        for (kind, value, level) in [
            (resistance(), "silicon-B", None),
            (resistance(), "NTC 10k", None),
            (active(), "Hall, 0.5-4.5 V", None),
            (pot(), "pot 5k", None),
            (resistance(), "hall", Some(Level::Stop)),
            (active(), "NTC", Some(Level::Stop)),
            (pot(), "ratiometric", Some(Level::Warning)),
        ] {
            let (found, missing) = told(kind, value);
            assert_eq!((found.first().copied(), missing), (level, Vec::new()), "{value}");
        }
    }

    #[test]
    fn what_is_missing_is_told() {
        assert_eq!(
            told(active(), "3").1,
            ["which sort of sensor \"3\" means, written as potentiometer, hall or resistance"]
        );
        assert_eq!(told(active(), "hall or NTC").1.len(), 1, "it says both");
        assert_eq!(told(None, "hall").1, ["which sensor MC-A6 reads"]);
    }
}
