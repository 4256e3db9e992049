//! Whether a precharge can be done in the time it is given: arithmetic only.

use crimpbook_core::reckon::Precharge;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        settings,
        words::{cavity as named, number, time},
    },
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Cavity, Connector, Decision, Id, Kind, Setting, SettingRole, SignalKind, Unit},
};

pub(super) static CHECK: Check = Check {
    name: "precharge-time",
    what: "the time a precharge is given against R·C: arithmetic, never an approval; traction work is for those licensed for it",
    inputs: "kinds of cavities, settings of the unit, or linked to its precharge output: bus capacitance in µF or mF, resistor in Ω, share in %, time in s, pack voltage in V named pack",
    source: "t = −ln(1 − share)·R·C, E = ½·C·V²; 95 % where no share is told: common practice, no source",
    rests_on: &[(Kind::Setting, &["value", "measure", "role"])],
    reads: &[(Kind::Setting, &[])],
    find,
};

/// Share to reach where no setting says, %.
const SHARE_PERCENT: f64 = 95.0;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for cavity in outputs(book) {
        if let Some(unit) = see.unit_of(cavity.id) {
            judge(book, unit, cavity, out);
        }
    }
}

/// The wired outputs that are named after precharging.
pub fn outputs(book: &Book) -> impl Iterator<Item = &Cavity> {
    book.all::<Cavity>().values().filter(|cavity| {
        let output = matches!(
            cavity.kind,
            Some(SignalKind::LowSideOut | SignalKind::HighSideOut)
        );
        let wired = cavity.decision == Decision::Wired;
        output && wired && cavity.name.to_lowercase().contains("precharge")
    })
}

/// A figure among the unit's settings, in the given units with their factors: one that is said to set this, else one that
/// nobody has said of what it sets, those linked to the cavity first, those of the unit by their names.
fn told(
    book: &Book,
    (unit, cavity): (Id<Unit>, &Cavity),
    role: SettingRole,
    units: &[(&str, f64)],
) -> Option<f64> {
    let value = |s: &Setting| {
        let (_, factor) = units.iter().find(|(unit, _)| settings::in_unit(s, &[unit]))?;
        Some(s.figure()? * factor)
    };
    let said = settings::of_unit(book, unit).chain(settings::linked(book, cavity.id));
    if let Some(said) = said.filter(|s| s.role == Some(role)).find_map(value) {
        return Some(said);
    }
    let word = (role == SettingRole::PackVoltage).then_some("pack");
    let open = |s: &&Setting| s.role.is_none() && word.is_none_or(|word| settings::named(s, &[word]));
    let here = settings::linked(book, cavity.id).filter(open).find_map(value);
    here.or_else(|| {
        settings::of_unit(book, unit)
            .filter(|s| word.is_some() || settings::named(s, &["pre"]))
            .filter(open)
            .find_map(value)
    })
}

/// The least and most that precharging may take, s: at least what R·C needs for 90 %, at most what it is given; else what is
/// missing. A contactor that is welded closes at once, so that without the least nothing is told.
pub fn given(book: &Book) -> Result<(f64, f64), &'static str> {
    let of_unit = outputs(book).find_map(|cavity| {
        let connector: &Connector = book.get(cavity.connector)?;
        Some((connector.unit, cavity))
    });
    let (unit, cavity) = of_unit.ok_or("missing the precharge output, as a cavity's kind")?;
    let figures = Figures::of(book, unit, cavity);
    let most = figures
        .given_s
        .ok_or("missing the time that precharging is given, as a setting")?;
    let (Some(ohm), Some(farad)) = (figures.ohm, figures.farad) else {
        return Err(
            "missing the precharge resistor's ohms or the capacitance, as settings: how soon is too soon",
        );
    };
    let least = Precharge { ohm, farad }
        .takes_s(LEAST_SHARE)
        .filter(|least| *least <= most)
        .ok_or("missing a time that reaches 90 %: R·C needs longer than it is given")?;
    Ok((least, most))
}

/// Before less than this the main contactor must not close (common practice, no source).
const LEAST_SHARE: f64 = 0.9;

/// What settings tell of a precharge.
struct Figures {
    farad: Option<f64>,
    ohm: Option<f64>,
    given_s: Option<f64>,
}

impl Figures {
    fn of(book: &Book, unit: Id<Unit>, cavity: &Cavity) -> Self {
        let figure = |role, units: &[(&str, f64)]| told(book, (unit, cavity), role, units);
        Self {
            farad: figure(
                SettingRole::PrechargeCapacitance,
                &[("F", 1.0), ("mF", 1e-3), ("µF", 1e-6), ("μF", 1e-6), ("uF", 1e-6)],
            ),
            ohm: figure(
                SettingRole::PrechargeResistance,
                &[("Ω", 1.0), ("ohm", 1.0), ("kΩ", 1e3)],
            ),
            given_s: figure(SettingRole::PrechargeTime, &[("s", 1.0), ("ms", 1e-3)]),
        }
    }
}

fn judge(book: &Book, unit: Id<Unit>, cavity: &Cavity, out: &mut Out) {
    let figure = |role, units: &[(&str, f64)]| told(book, (unit, cavity), role, units);
    let Figures { farad, ohm, given_s } = Figures::of(book, unit, cavity);
    let percent = figure(SettingRole::PrechargeShare, &[("%", 1.0)]).unwrap_or(SHARE_PERCENT);
    let (Some(farad), Some(ohm), Some(given_s)) = (farad, ohm, given_s) else {
        let mut missing = Vec::new();
        for (known, what) in [
            (farad.is_some(), "the capacitance of the traction bus in µF"),
            (ohm.is_some(), "the ohms of the precharge resistor"),
            (given_s.is_some(), "the time it is given in s"),
        ] {
            if !known {
                missing.push(what.to_owned());
            }
        }
        let words = format!(
            "{}, as settings linked to {}",
            super::common::words::list(&missing),
            book.cavity_name(cavity.id)
        );
        out.cannot(CHECK.name, unit, words, []);
        return;
    };
    let charge = Precharge { ohm, farad };
    let Some(takes_s) = charge.takes_s(percent / 100.0) else {
        let words = format!(
            "a share to reach between 0 and 100 %, as a setting linked to {}",
            book.cavity_name(cavity.id)
        );
        out.cannot(CHECK.name, unit, words, []);
        return;
    };
    let energy = figure(SettingRole::PackVoltage, &[("V", 1.0)]).map(|v| charge.energy_j(v));
    let (level, what) = if takes_s > given_s {
        (Level::Stop, "too short")
    } else {
        (Level::Note, "arithmetic only")
    };
    let sentence = format!(
        "{}: {} % takes {} ({} Ω, {} mF), {} is given: {what}.",
        named(book, cavity),
        number(percent),
        time(takes_s),
        number(ohm),
        number(farad * 1e3),
        time(given_s),
    );
    let mut finding = Finding::new(CHECK.name, level, cavity.id, sentence)
        .figure(Figure::against("takes", takes_s, given_s, "s"))
        .matters("Closed too early the main contactor welds. This is arithmetic, not an approval: whoever is licensed for traction voltage judges it.")
        .source(CHECK.source);
    if level == Level::Stop {
        finding = finding.mend(Mend::words(
            "more time, or a resistor of fewer ohms that bears it",
        ));
    }
    if let Some(joule) = energy {
        finding = finding.figure(Figure::plain("the resistor takes", joule, "J"));
    }
    out.find(finding);
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// 750 Ω and 7 mF: R·C is 5.25 s, 95 % take 15.7 s.
    fn precharge(settings: &[(&str, &str, &str)]) -> Bench {
        let mut bench = Bench::new();
        let cavity = bench.cavity("MC-A", "23");
        bench.edit(cavity, |c: &mut Cavity| {
            c.name = "OUT 2 PRECHARGE".to_owned();
            c.kind = Some(SignalKind::LowSideOut);
            c.decision = Decision::Wired;
        });
        for (label, value, measure) in settings {
            bench.setting("MC", label, value, measure, &["MC-A23"]);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("precharge-time")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn a_time_shorter_than_three_rc_is_a_stop_and_a_longer_one_no_approval() {
        let with = |time| {
            found(&precharge(&[
                ("BUS_C", "7", "mF"),
                ("PRE_R", "750", "Ω"),
                ("PRE_PCT", "95", "%"),
                ("PRE_T", time, "s"),
            ]))
        };
        let short = with("2");
        assert_eq!(
            short,
            [(
                Level::Stop,
                "MC-A23 (OUT 2 PRECHARGE): 95 % takes 15.7 s (750 Ω, 7 mF), 2 s is given: too short."
                    .to_owned()
            )]
        );
        let long = with("30");
        assert_eq!(long[0].0, Level::Note);
        assert!(long[0].1.ends_with("arithmetic only."), "{long:?}");
    }

    #[test]
    fn a_share_that_is_never_reached_is_asked_for_anew() {
        let report = run_without_mends(
            &precharge(&[
                ("BUS_C", "7", "mF"),
                ("PRE_R", "750", "Ω"),
                ("PRE_PCT", "100", "%"),
                ("PRE_T", "20", "s"),
            ])
            .snapshot(),
        );
        assert_eq!(report.of("precharge-time").count(), 0);
        let asked = |c: &crate::check::CannotCheck| c.missing.starts_with("a share to reach between");
        assert!(report.cannot_check.iter().any(asked), "{:?}", report.cannot_check);
    }

    #[test]
    fn what_is_missing_is_asked_for_at_once() {
        let report = run_without_mends(&precharge(&[("PRE_T", "6", "s")]).snapshot());
        assert_eq!(report.of("precharge-time").count(), 0);
        let missing = "the capacitance of the traction bus in µF and the ohms of the precharge resistor, as settings linked to MC-A23";
        assert!(
            report.cannot_check.iter().any(|c| c.missing == missing),
            "{:?}",
            report.cannot_check
        );
    }
}
