//! Settings that lower a coil's drive once it has pulled in: what is left must hold it.

use crimpbook_core::conductor::copper_factor;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    coil_suppression::drivers,
    common::{
        settings,
        words::{cavity as named, celsius, number},
    },
};
use crate::{
    analysis::Snapshot,
    circuit::Stand,
    model::{About, Cavity, Id, Kind, Part, PartKind, PartPosition, Setting, SettingRole, State, Terminal},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "setting-coil-hold",
    what: "what a unit's software leaves a coil once it has pulled in holds it, hot and at the least supply, and no coil with an economiser is lowered twice",
    inputs: "settings said, or by their name taken, to hold a coil (in % or V), their cavities, drop-out volts of coils, economisers, zones with their ambient, operating states with the coil on",
    source: "drop-out volts of the manuals, at 20 °C; they rise with the copper's resistance, (234.5 + T)/254.5; a fifth more against vibration is common practice, no source",
    rests_on: &[
        (Kind::Setting, &["value", "measure", "role", "cavities"]),
        (Kind::Part, &["kind", "ends"]),
    ],
    reads: &[(Kind::Setting, &[])],
    find,
};

/// So much more than the drop-out voltage keeps a coil from opening where it shakes.
const SHAKES: f64 = 1.2;
/// A coil that is left less than this share of its supply is lowered.
const WHOLE: f64 = 0.95;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let all = book.all::<Setting>().values();
    for setting in all.filter(|s| settings::role(s) == Some(SettingRole::CoilHold)) {
        for cavity in setting.cavities.iter().filter_map(|id| book.get(*id)) {
            let coils = coils(see, cavity.id);
            if coils.is_empty() {
                let words = format!("which coil {} drives", named(book, cavity));
                out.cannot(CHECK.name, setting.id, words, []);
            }
            for coil in coils {
                judge(see, setting, cavity, coil, out);
            }
        }
        if setting.cavities.is_empty() {
            let words = format!("the cavity that {} is for", setting.label);
            out.cannot(CHECK.name, setting.id, words, []);
        }
    }
}

/// Coils that a cavity's output drives.
fn coils(see: &Snapshot, cavity: Id<Cavity>) -> Vec<&Part> {
    let pin = Terminal::Cavity(cavity);
    let all = see.book().all::<Part>().values();
    all.filter(|part| matches!(part.kind, PartKind::Coil { .. }))
        .filter(|coil| drivers(see, coil).iter().any(|driver| driver.ends.contains(&pin)))
        .collect()
}

fn judge(see: &Snapshot, setting: &Setting, cavity: &Cavity, coil: &Part, out: &mut Out) {
    let PartKind::Coil {
        drop_out_v, hold_a, ..
    } = coil.kind
    else {
        return;
    };
    let book = see.book();
    let share = settings::in_unit(setting, &["%"]);
    let Some(value) = setting
        .figure()
        .filter(|_| share || settings::in_unit(setting, &["V"]))
    else {
        let words = format!("what {:?} leaves {}, in % or V", setting.shown(), coil.label);
        out.cannot(CHECK.name, setting.id, words, []);
        return;
    };
    let Some((across_v, state)) = least(see, coil, out) else {
        let words = format!("an operating state in which {} is on", coil.label);
        out.cannot(CHECK.name, coil.unit, words, []);
        return;
    };
    let left_v = if share {
        across_v * value / 100.0
    } else {
        value.min(across_v)
    };
    if hold_a.is_some() && left_v < WHOLE * across_v {
        let sentence = format!(
            "{} leaves {} {}, but it has an economiser of its own.",
            setting.label,
            coil.label,
            setting.shown()
        );
        let finding = Finding::new(CHECK.name, Level::Warning, setting.id, sentence)
            .with([cavity.id])
            .with([coil.id])
            .matters("An economiser wants its whole supply: chopped or lowered, it pulls in again and again, or lets go.")
            .mend(Mend::words("leave the coil its whole supply: 100 % at this output"))
            .source(CHECK.source);
        out.find(finding);
        return;
    }
    let Some(drop_out_v) = drop_out_v else {
        out.cannot(
            CHECK.name,
            coil.unit,
            format!("the drop-out voltage of {}", coil.label),
            [Ask::of(coil.id, &fields::COIL_DROP_OUT_V)],
        );
        return;
    };
    let ambient_c = see
        .wiring()
        .parts
        .iter()
        .find(|run| run.part == coil.id)
        .map_or(20.0, |run| run.ambient_c);
    let needs_v = drop_out_v * copper_factor(ambient_c);
    if left_v >= SHAKES * needs_v {
        return;
    }
    let (level, comes_to) = if left_v < needs_v {
        (Level::Stop, "it drops out below")
    } else {
        (Level::Warning, "with vibration it may drop out below")
    };
    let sentence = format!(
        "{} {} at {} leaves {} {} V in {}; at {} {comes_to} {} V.",
        setting.label,
        setting.shown(),
        named(book, cavity),
        coil.label,
        number(left_v),
        book.label_of(state),
        celsius(ambient_c),
        number(SHAKES.powi(i32::from(level == Level::Warning)) * needs_v),
    );
    out.find(
        Finding::new(CHECK.name, level, setting.id, sentence)
            .with([cavity.id])
            .with([coil.id])
            .figure(Figure::against("left across the coil", left_v, needs_v, "V"))
            .matters("A contactor that opens under load draws an arc: its contacts weld or burn, and the drive is gone.")
            .mend(Mend::words("hold it with more, as the coil's data sheet says; measure it hot"))
            .source(CHECK.source),
    );
}

/// The least voltage across a coil in the operating states in which it is meant to be on, at the least supply or what the
/// state itself tells; says where there is no solution at that.
fn least(see: &Snapshot, coil: &Part, out: &mut Out) -> Option<(f64, Id<State>)> {
    let book = see.book();
    let run = see.wiring().parts.iter().find(|run| run.part == coil.id)?;
    let (one, other) = (*run.ends.first()?, *run.ends.get(1)?);
    let about = book.all::<About>().values().next()?;
    let mut ready = see.ready();
    let mut least: Option<(f64, Id<State>)> = None;
    for of in see.states() {
        if !matches!(
            of.stands.get(coil.id),
            Stand::Given(PartPosition::On | PartPosition::Starting)
        ) {
            continue;
        }
        let told = book.get(of.state).and_then(|state: &State| state.supply_v);
        let Ok(low) = see.at_supply(of, told.unwrap_or(about.supply.least_v), &mut ready) else {
            out.cannot(CHECK.name, of.state, "a solution of it at the least supply", []);
            continue;
        };
        // A coil that nothing feeds is a matter of the state's positions.
        let across_v = low
            .operated
            .between(one, other)
            .map(f64::abs)
            .filter(|v| *v > 1.0);
        if let Some(volts) = across_v
            && least.is_none_or(|(known, _)| volts < known)
        {
            least = Some((volts, of.state));
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// A coil of 48 Ω that drops out below 3 V at 20 °C, driven low side by MC-A22, in 60 °C:
    /// it needs 3 V × 294.5/254.5 = 3.47 V, and 4.17 V where it shakes. 12.6 V of battery, 10.5 V at least.
    fn bench(value: &str, measure: &str) -> (Bench, Id<Part>) {
        let mut bench = Bench::new();
        let state = bench.state("DRIVE");
        bench.battery();
        let kind = PartKind::Output {
            side: OutputSide::LowSide,
            ohm: 0.05,
            most_a: None,
            peak_a: None,
            peak_s: None,
            clamp: Some(true),
            when: String::new(),
        };
        let output = bench.part("OUT1", kind, &["MC-A22", "BN"]);
        let mut kind = Bench::coil(48.0, 9.0);
        if let PartKind::Coil { drop_out_v, .. } = &mut kind {
            *drop_out_v = Some(3.0);
        }
        let coil = bench.part("MAIN coil", kind, &["CB-A1", "CB-A2"]);
        bench.wire("W18", "BP", "CB-A1", 1.0, 0.1);
        bench.wire("W19", "CB-A2", "MC-A22", 1.0, 0.1);
        bench.set(state, output, PartPosition::On);
        bench.set(state, coil, PartPosition::On);
        let (zone, unit) = (bench.zone("splash", 60.0), bench.unit("CB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        let id = bench.setting("MC", "HOLD", value, measure, &["MC-A22"]);
        bench.edit(id, |s: &mut Setting| s.role = Some(SettingRole::CoilHold));
        (bench, coil)
    }

    fn found(bench: &Bench) -> (Vec<(Level, String)>, Vec<String>) {
        let report = run_without_mends(&bench.snapshot());
        let found = report.of("setting-coil-hold");
        let found = found.map(|f| (f.level, f.sentence.clone())).collect();
        let missing = report.cannot_check.into_iter();
        let missing = missing.filter(|c| c.checks.contains(&"setting-coil-hold"));
        (found, missing.map(|c| c.missing).collect())
    }

    #[test]
    fn what_is_left_is_held_against_the_hot_drop_out_voltage() {
        // Of 10.5 V 50 % is 5.2 V, 38 % is 4.0 V and 30 % is 3.1 V, which would do at 12.6 V.
        assert_eq!(found(&bench("50", "%").0).0, []);
        assert_eq!(found(&bench("6,0", "V").0).0, []);
        let shakes = found(&bench("38", "%").0).0;
        assert_eq!(shakes.len(), 1);
        assert_eq!(shakes[0].0, Level::Warning);
        assert!(
            shakes[0]
                .1
                .starts_with("HOLD 38 % at MC-A22 leaves MAIN coil 3.9")
                && shakes[0]
                    .1
                    .ends_with("at 60 °C with vibration it may drop out below 4.17 V."),
            "{shakes:?}"
        );
        let drops = found(&bench("30", "%").0).0;
        assert_eq!(drops[0].0, Level::Stop);
        assert!(drops[0].1.ends_with("it drops out below 3.47 V."), "{drops:?}");
        assert_eq!(found(&bench("3", "V").0).0[0].0, Level::Stop);
    }

    #[test]
    fn a_coil_with_an_economiser_wants_its_whole_supply() {
        let (mut bench, coil) = bench("50", "%");
        bench.edit(coil, |p: &mut Part| {
            if let PartKind::Coil { hold_a, .. } = &mut p.kind {
                *hold_a = Some(0.1);
            }
        });
        let told = found(&bench).0;
        assert_eq!(told.len(), 1);
        assert!(told[0].1.contains("has an economiser of its own"), "{told:?}");
    }

    #[test]
    fn a_setting_without_a_cavity_or_a_coil_is_not_passed_over() {
        let (mut lone, coil) = bench("50", "%");
        let setting = lone.named::<Setting>("HOLD");
        lone.edit(coil, |p: &mut Part| p.ends.clear());
        assert_eq!(found(&lone).1, ["which coil MC-A22 drives"]);
        lone.edit(setting, |s: &mut Setting| s.cavities.clear());
        assert_eq!(found(&lone).1, ["the cavity that HOLD is for"]);
    }

    #[test]
    fn what_is_missing_is_told() {
        let (mut told, coil) = bench("50", "%");
        told.edit(coil, |p: &mut Part| {
            if let PartKind::Coil { drop_out_v, .. } = &mut p.kind {
                *drop_out_v = None;
            }
        });
        assert_eq!(found(&told).1, ["the drop-out voltage of MAIN coil"]);
        assert_eq!(
            found(&bench("low", "").0).1,
            ["what \"low\" leaves MAIN coil, in % or V"]
        );
        assert_eq!(
            found(&bench("30", "A").0).1,
            ["what \"30 A\" leaves MAIN coil, in % or V"]
        );
    }
}
