//! What is drawn with everything off, and how long the battery lasts.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        settings,
        words::{list, number},
    },
};
use crate::{
    analysis::{Snapshot, StateResult},
    circuit::Stand,
    model::{Id, Kind, Part, PartKind, PartPosition, Setting, SettingRole, State, Switch, Unit},
    question::{Ask, fields},
};
use std::collections::BTreeMap;

pub(super) static CHECK: Check = Check {
    name: "standby-draw",
    what: "with everything at rest the battery keeps half of its charge for two weeks",
    inputs: "a state with all switches at rest, what each load draws asleep, the battery's capacity as a setting in Ah of its unit",
    source: "currents from the solved network; 14 days to half: common practice, no source",
    rests_on: &[
        (Kind::Part, &["kind"]),
        (Kind::Setting, &["value", "measure", "role"]),
    ],
    reads: &[(Kind::Setting, &[])],
    find,
};

/// Days that half of the charge should last.
const DAYS: f64 = 14.0;
/// A load that stands under this has a feed, V (our own).
const FED_V: f64 = 6.0;

fn find(see: &Snapshot, out: &mut Out) {
    let Some(of) = see.states().iter().find(|of| rests(see, of)) else {
        return;
    };
    let book = see.book();
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(battery) = book.get(run.part) else {
            continue;
        };
        let PartKind::Source {
            volts_v: None,
            switched: false,
            ..
        } = battery.kind
        else {
            continue;
        };
        let draw_a = of.operated.part_a(at);
        if draw_a <= 0.0 {
            continue;
        }
        let awake = asleep_unknown(see, of);
        for (unit, loads) in &awake {
            let labels: Vec<String> = loads.iter().map(|id| book.label_of(*id)).collect();
            let asks = loads.iter().map(|id| Ask::of(*id, &fields::LOAD_ASLEEP_A));
            out.cannot(
                CHECK.name,
                *unit,
                format!("what {} draws asleep", list(&labels)),
                asks,
            );
        }
        let capacity_ah = settings::of_unit(book, battery.unit)
            .filter(|s| {
                settings::role(s) == Some(SettingRole::BatteryCapacity) && settings::in_unit(s, &["Ah"])
            })
            .find_map(Setting::figure);
        let Some(capacity_ah) = capacity_ah else {
            out.cannot(
                CHECK.name,
                battery.unit,
                "the battery's capacity, as a setting in Ah",
                [],
            );
            continue;
        };
        if awake.is_empty() {
            judge(see, of, battery, draw_a, capacity_ah, out);
        }
    }
}

/// Whether every switch, lead and condition of a state stands at its first position, and one is there at all.
fn rests(see: &Snapshot, of: &StateResult) -> bool {
    let book = see.book();
    let Some(state) = book.get(of.state) else {
        return false;
    };
    let at_rest = |s: &State| {
        s.switches.iter().all(|at| {
            let switch = book.get(at.switch);
            switch.is_some_and(|w: &Switch| w.positions.first() == Some(&at.position))
        })
    };
    !book.all::<Switch>().is_empty() && at_rest(state)
}

/// Loads that are off but fed, and of which nobody says what they draw then, by unit.
fn asleep_unknown(see: &Snapshot, of: &StateResult) -> BTreeMap<Id<Unit>, Vec<Id<Part>>> {
    let mut found: BTreeMap<Id<Unit>, Vec<Id<Part>>> = BTreeMap::new();
    for run in &see.wiring().parts {
        let part: Option<&Part> = see.book().get(run.part);
        let (Some(part), [plus, minus]) = (part, &run.ends[..]) else {
            continue;
        };
        let PartKind::Load { asleep_a: None, .. } = part.kind else {
            continue;
        };
        let off = of.stands.get(part.id) == Stand::Given(PartPosition::Off);
        let fed = of
            .operated
            .between(*plus, *minus)
            .is_some_and(|v| v.abs() > FED_V);
        if off && fed {
            found.entry(part.unit).or_default().push(part.id);
        }
    }
    found
}

fn judge(see: &Snapshot, of: &StateResult, battery: &Part, draw_a: f64, capacity_ah: f64, out: &mut Out) {
    let days = capacity_ah / 2.0 / draw_a / 24.0;
    let level = if days < DAYS { Level::Warning } else { Level::Note };
    let sentence = format!(
        "{} gives {} mA in {}: {} days to half of its {} Ah.",
        battery.label,
        number(draw_a * 1000.0),
        see.book().label_of(of.state),
        number(days),
        number(capacity_ah)
    );
    let mut finding = Finding::new(CHECK.name, level, battery.id, sentence)
        .figure(Figure::against("days to half", days, DAYS, "d"))
        .figure(Figure::plain("drawn at rest", draw_a * 1000.0, "mA"))
        .matters("With the 12 V battery flat no contactor pulls in, however full the pack is.")
        .source(CHECK.source);
    if level == Level::Warning {
        finding = finding.mend(Mend::words("feed from the key rail what need not stay awake"));
    }
    out.find(finding);
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn parked(ohm: f64, capacity: Option<&str>) -> Bench {
        let mut bench = Bench::new();
        bench.state("OFF");
        bench.switch("key", &["off", "run"]);
        bench.battery();
        bench.resistor("clock", ohm, &["BP", "BN"]);
        if let Some(capacity) = capacity {
            bench.setting("AB", "CAPACITY", capacity, "Ah", &[]);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("standby-draw")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    /// 12.6 V ÷ 126 Ω is 100 mA: 22.5 Ah last 9.4 days.
    #[test]
    fn less_than_two_weeks_is_a_warning() {
        let short = found(&parked(126.0, Some("45")));
        assert_eq!(
            short,
            [(
                Level::Warning,
                "battery gives 100 mA in OFF: 9.38 days to half of its 45 Ah.".to_owned()
            )]
        );
        assert_eq!(found(&parked(1260.0, Some("45")))[0].0, Level::Note);
    }

    #[test]
    fn the_capacity_and_what_a_sleeper_draws_are_asked_for() {
        let missing = |bench: &Bench| {
            let report = run_without_mends(&bench.snapshot());
            assert_eq!(report.of("standby-draw").count(), 0);
            report
                .cannot_check
                .into_iter()
                .map(|c| c.missing)
                .collect::<Vec<_>>()
        };
        assert!(
            missing(&parked(126.0, None)).contains(&"the battery's capacity, as a setting in Ah".to_owned())
        );
        let mut bench = parked(126.0, Some("45"));
        let load = bench.load("radio", 1.0, &["BP", "BN"]);
        let state = bench.named::<State>("OFF");
        bench.set(state, load, PartPosition::Off);
        assert!(missing(&bench).contains(&"what radio draws asleep".to_owned()));
    }
}
