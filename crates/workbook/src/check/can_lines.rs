//! CAN buses that are too long for their rate, whose units talk at different rates, and what a meter shows while they are built.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        bus::Bus,
        facts::{Fact, ask},
        settings,
        words::{list, number},
    },
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Kind, Part, PartKind, Setting, SettingRole, SignalKind, Unit},
};
use std::collections::BTreeMap;

pub(super) static LENGTHS: Check = Check {
    name: "can-lengths",
    what: "each CAN bus is no longer than its rate allows, and no unit hangs far off it",
    inputs: "kinds of cavities, lengths of CAN wires, terminators, the rate as settings in kbit/s linked to CAN cavities",
    source: "0.3 m off a trunk of 40 m at 1 Mbit/s: ISO 11898-2 (memory); 100 m at 500, 250 m and 1 m off it at 250 kbit/s: common practice, no source",
    rests_on: &[
        (Kind::Wire, &["length_m", "from", "to"]),
        (Kind::Part, &["kind", "ends"]),
    ],
    reads: &[(Kind::Setting, &[]), (Kind::Wire, &["length_m"])],
    find: lengths,
};

pub(super) static RATE: Check = Check {
    name: "can-rate",
    what: "all units of a CAN bus talk at one rate",
    inputs: "kinds of cavities, settings in kbit/s linked to CAN cavities",
    source: "ISO 11898-2 (memory)",
    rests_on: &[(Kind::Setting, &["value", "measure", "role", "cavities"])],
    reads: &[(Kind::Setting, &[]), (Kind::Wire, &["length_m"])],
    find: rates,
};

pub(super) static STAGES: Check = Check {
    name: "can-stages",
    what: "what a meter shows across each CAN pair at each stage of the build, unpowered",
    inputs: "terminators",
    source: "terminators in parallel",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[(Kind::Wire, &["length_m"])],
    find: stages,
};

/// Longest trunk and longest stub, m, from so many kbit/s on.
const LIMITS: [(f64, f64, f64); 4] = [
    (1000.0, 40.0, 0.3),
    (500.0, 100.0, 0.3),
    (250.0, 250.0, 1.0),
    (0.0, 500.0, 2.0),
];

fn lengths(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for bus in see.buses() {
        let Some(trunk) = bus.trunk(see) else { continue };
        let wires = bus.wires(see);
        let bare = wires
            .iter()
            .any(|id| book.get(*id).is_none_or(|w| w.length_m.is_none()));
        if bare {
            let places = wires.iter().filter_map(|id| see.wiring().wire_at(*id));
            ask(see, LENGTHS.name, places, &[Fact::Length], out);
            continue;
        }
        let longest = trunk.stubs.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let stub_m = longest.map_or(0.0, |(_, m)| *m);
        let fits =
            |(_, most_m, off_m): &(f64, f64, f64)| trunk.length_m <= *most_m && stub_m <= *off_m * 1.001;
        if LIMITS.iter().take(1).all(fits) {
            // Short enough for any rate.
            continue;
        }
        let Some(rate) = told(see, bus).first().map(|(_, rate)| *rate) else {
            if let Some(unit) = bus.units.iter().next() {
                out.cannot(
                    LENGTHS.name,
                    *unit,
                    "the rate of its CAN bus, as a setting in kbit/s linked to the CAN cavities",
                    [],
                );
            }
            continue;
        };
        let Some(limit) = LIMITS
            .iter()
            .find(|(from, ..)| rate >= *from)
            .filter(|l| !fits(l))
        else {
            continue;
        };
        let (_, most_m, off_m) = *limit;
        let Some((cavity, _)) = longest else { continue };
        let (sentence, figure) = if stub_m > off_m {
            (
                format!(
                    "{} hangs {} m off the CAN trunk; at {} kbit/s {} m at most.",
                    book.cavity_name(*cavity),
                    number(stub_m),
                    number(rate),
                    number(off_m)
                ),
                Figure::against("off the trunk", stub_m, off_m, "m"),
            )
        } else {
            (
                format!(
                    "{}: CAN trunk of {} m; at {} kbit/s {} m at most.",
                    list(&units(see, bus)),
                    number(trunk.length_m),
                    number(rate),
                    number(most_m)
                ),
                Figure::against("trunk", trunk.length_m, most_m, "m"),
            )
        };
        out.find(
            Finding::new(LENGTHS.name, Level::Warning, *cavity, sentence)
                .figure(figure)
                .matters("What a long stub throws back spoils bits now and then, and no meter shows it.")
                .mend(Mend::words(
                    "lead the trunk past the unit, a lower rate, or terminators at the true ends",
                ))
                .source(LENGTHS.source),
        );
    }
}

fn units(see: &Snapshot, bus: &Bus) -> Vec<String> {
    bus.units
        .iter()
        .map(|u| see.book().label_of::<Unit>(*u))
        .collect()
}

/// The rates that units of a bus are set to, kbit/s.
fn told<'a>(see: &'a Snapshot, bus: &Bus) -> Vec<(&'a Setting, f64)> {
    let of = |s: &&Setting| {
        s.cavities.iter().any(|c| {
            matches!(
                see.book().get(*c).and_then(|c: &Cavity| c.kind),
                Some(SignalKind::CanHigh | SignalKind::CanLow)
            )
        })
    };
    let rate = |s: &'a Setting| {
        if settings::role(s) != Some(SettingRole::CanRate) {
            return None;
        }
        let factor = if settings::in_unit(s, &["kbit/s", "kbps", "kbaud"]) {
            1.0
        } else if settings::in_unit(s, &["Mbit/s", "Mbps"]) {
            1000.0
        } else {
            return None;
        };
        Some((s, s.figure()? * factor))
    };
    let of_units = bus
        .units
        .iter()
        .flat_map(|unit| settings::of_unit(see.book(), *unit));
    let mut told: Vec<(&Setting, f64)> = of_units.filter(of).filter_map(rate).collect();
    told.sort_unstable_by_key(|(setting, _)| setting.id);
    told
}

fn rates(see: &Snapshot, out: &mut Out) {
    for bus in see.buses() {
        let told = told(see, bus);
        let mut by_rate: BTreeMap<u64, Vec<String>> = BTreeMap::new();
        for (setting, rate) in &told {
            by_rate
                .entry(rate.to_bits())
                .or_default()
                .push(see.book().label_of::<Unit>(setting.unit));
        }
        let (Some((first, _)), true) = (told.first(), by_rate.len() > 1) else {
            continue;
        };
        let parts: Vec<String> = by_rate
            .iter()
            .map(|(bits, units)| format!("{} at {} kbit/s", list(units), number(f64::from_bits(*bits))))
            .collect();
        let sentence = format!("CAN of {}: {}.", list(&units(see, bus)), list(&parts));
        out.find(
            Finding::new(RATE.name, Level::Stop, first.id, sentence)
                .with(told.iter().skip(1).map(|(s, _)| s.id))
                .matters("One unit at another rate destroys the messages of all.")
                .mend(Mend::words(
                    "one rate for all, as the unit that cannot be set has it",
                ))
                .source(RATE.source),
        );
    }
}

fn stages(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for bus in see.buses() {
        let ends = bus.trunk(see).map(|t| t.ends.to_vec()).unwrap_or_default();
        let later = bus.terminators.iter().copied().filter(|p| !ends.contains(p));
        let mut siemens = 0.0;
        let mut shown = Vec::new();
        let order: Vec<Id<Part>> = ends.iter().copied().chain(later).collect();
        for part in order.iter().filter_map(|id| book.get(*id)) {
            if let PartKind::Terminator { ohm } = part.kind {
                siemens += 1.0 / ohm.max(1e-3);
                let with = if shown.is_empty() { "with" } else { "and" };
                shown.push(format!(
                    "{} Ω {with} {}",
                    number(1.0 / siemens),
                    book.label_of(part.unit)
                ));
            }
        }
        let (Some(first), false) = (bus.cavities.first(), shown.is_empty()) else {
            continue;
        };
        let sentence = format!(
            "CAN of {}: a meter across H and L shows {}.",
            list(&units(see, bus)),
            shown.join(", ")
        );
        out.find(
            Finding::new(STAGES.name, Level::Note, *first, sentence)
                .with(order)
                .matters("Unpowered, plug by plug: the first reading that differs names the plug.")
                .source(STAGES.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// MC and CH at the ends of a trunk, SV on a stub.
    fn bus(stub_m: f64, rates: &[(&str, &str)]) -> Bench {
        let mut bench = Bench::new();
        for (unit, length_m) in [("MC", 0.4), ("CH", 3.7), ("SV", stub_m)] {
            for (kind, number, splice) in [
                (SignalKind::CanHigh, "1", "SP10"),
                (SignalKind::CanLow, "2", "SP11"),
            ] {
                let name = format!("{unit}-A{number}");
                bench.wire(&format!("{unit}{number}"), &name, splice, 0.5, length_m);
                let cavity = bench.cavity(&format!("{unit}-A"), number);
                bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
            }
        }
        for unit in ["MC", "CH"] {
            let ends = [format!("{unit}-A1"), format!("{unit}-A2")];
            bench.part(
                &format!("{unit} end"),
                PartKind::Terminator { ohm: 120.0 },
                &[&ends[0], &ends[1]],
            );
        }
        for (unit, rate) in rates {
            bench.setting(
                unit,
                &format!("{unit} CAN_RATE"),
                rate,
                "kbit/s",
                &[&format!("{unit}-A1")],
            );
        }
        bench
    }

    fn found(bench: &Bench, check: &str) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report.of(check).map(|f| (f.level, f.sentence.clone())).collect()
    }

    #[test]
    fn a_stub_may_be_as_long_as_its_rate_allows() {
        assert_eq!(found(&bus(0.3, &[]), "can-lengths"), []);
        assert_eq!(found(&bus(0.9, &[("MC", "250")]), "can-lengths"), []);
        assert_eq!(
            found(&bus(0.9, &[("MC", "500")]), "can-lengths"),
            [(
                Level::Warning,
                "SV-A1 hangs 0.9 m off the CAN trunk; at 500 kbit/s 0.3 m at most.".to_owned()
            )]
        );
    }

    #[test]
    fn an_unknown_rate_is_asked_for_only_where_it_matters() {
        let asked = |stub_m| {
            let report = run_without_mends(&bus(stub_m, &[]).snapshot());
            report
                .cannot_check
                .iter()
                .any(|c| c.missing.starts_with("the rate of its CAN bus"))
        };
        assert!(!asked(0.3) && asked(0.9));
    }

    #[test]
    fn two_rates_on_one_bus_are_a_stop() {
        assert_eq!(found(&bus(0.3, &[("MC", "250"), ("CH", "250")]), "can-rate"), []);
        let two = found(&bus(0.3, &[("MC", "500"), ("CH", "250")]), "can-rate");
        assert_eq!(two[0].0, Level::Stop);
        assert!(
            two[0].1.contains("CH at 250 kbit/s and MC at 500 kbit/s"),
            "{two:?}"
        );
    }

    #[test]
    fn the_meter_is_told_what_to_show_plug_by_plug() {
        let note = found(&bus(0.3, &[]), "can-stages");
        assert_eq!(note[0].0, Level::Note);
        assert!(
            note[0].1.contains("shows 120 Ω with ") && note[0].1.contains(", 60 Ω and "),
            "{note:?}"
        );
    }
}
