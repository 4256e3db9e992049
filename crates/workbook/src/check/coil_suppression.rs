//! A coil that nothing keeps from a voltage spike when a semiconductor switches it off.

use super::{Check, Finding, Level, Mend, Out};
use crate::{
    analysis::Snapshot,
    model::{Id, Kind, OutputSide, Part, PartKind, Suppression},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "coil-suppression",
    what: "a coil that a semiconductor switches has something that limits its voltage, and one that must open fast has no plain diode",
    inputs: "what suppresses each coil, whether an output limits the voltage by itself",
    source: "common practice, no source",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for coil in book.all::<Part>().values() {
        let PartKind::Coil {
            suppression, hold_a, ..
        } = coil.kind
        else {
            continue;
        };
        if hold_a.is_some() && suppression == Some(Suppression::Diode) {
            let sentence = format!(
                "{} has a plain diode and opens slowly; a main contactor should open fast.",
                coil.label
            );
            out.find(
                Finding::new(CHECK.name, Level::Warning, coil.id, sentence)
                    .matters("The slower the contacts part, the longer the arc: they erode or weld.")
                    .mend(Mend::words("a diode with a zener, or a two-way suppressor diode"))
                    .source(CHECK.source),
            );
        }
        for driver in drivers(see, coil) {
            judge(see, coil, suppression, driver, out);
        }
    }
}

fn judge(see: &Snapshot, coil: &Part, suppression: Option<Suppression>, driver: &Part, out: &mut Out) {
    let PartKind::Output { clamp, side, .. } = driver.kind else {
        return;
    };
    match (suppression, clamp) {
        (Some(Suppression::Diode | Suppression::DiodeZener | Suppression::Resistor), _) | (_, Some(true)) => {
        }
        _ if has_diode(see, coil) => {}
        (None, _) => out.cannot(
            CHECK.name,
            coil.unit,
            format!("what suppresses {}", coil.label),
            [Ask::of(coil.id, &fields::COIL_SUPPRESSION)],
        ),
        (Some(Suppression::None), None) => out.cannot(
            CHECK.name,
            driver.unit,
            format!("whether {} limits a coil's voltage by itself", driver.label),
            [Ask::of(driver.id, &fields::OUTPUT_CLAMP)],
        ),
        (Some(Suppression::None), Some(false)) => {
            let book = see.book();
            let pin = driver.ends.get(usize::from(side == OutputSide::HighSide));
            let at = pin.map_or_else(String::new, |pin| format!(" at {}", book.terminal_name(pin)));
            let sentence = format!(
                "{} has no suppression, and {}{at} drives it without a diode of its own.",
                coil.label, driver.label
            );
            out.find(
                Finding::new(CHECK.name, Level::Stop, coil.id, sentence)
                    .with([driver.id])
                    .matters("Switched off, the coil drives its pin to some hundred volts: the output dies at once or within weeks.")
                    .mend(Mend::words("a relay with a resistor or diode inside (mind its polarity), or a diode across the coil"))
                    .source(CHECK.source),
            );
        }
    }
}

/// Whether a diode of its own lies across the coil, its cathode at plus.
fn has_diode(see: &Snapshot, coil: &Part) -> bool {
    let nets = &see.signals().nets;
    let at = |part: &Part, place: usize| part.ends.get(place).and_then(|end| nets.at(end));
    let (plus, minus) = (at(coil, 0), at(coil, 1));
    let across = |p: &Part| matches!(p.kind, PartKind::Diode { .. }) && at(p, 0) == minus && at(p, 1) == plus;
    let beside = plus
        .and_then(|net| nets.get(net))
        .into_iter()
        .flat_map(|net| &net.parts);
    minus.is_some() && beside.filter_map(|(id, _)| see.book().get(*id)).any(across)
}

/// Semiconductor outputs on a coil's nets.
pub(super) fn drivers<'a>(see: &'a Snapshot, coil: &Part) -> Vec<&'a Part> {
    let nets = &see.signals().nets;
    let mut found: Vec<Id<Part>> = Vec::new();
    for end in &coil.ends {
        let net = nets.at(end).and_then(|id| nets.get(id));
        for (part, place) in net.into_iter().flat_map(|net| &net.parts) {
            if drives(see, *part, *place) && !found.contains(part) {
                found.push(*part);
            }
        }
    }
    found.into_iter().filter_map(|id| see.book().get(id)).collect()
}

/// Whether this end of a part is an output's pin.
fn drives(see: &Snapshot, part: Id<Part>, place: usize) -> bool {
    match see.book().get(part).map(|p: &Part| &p.kind) {
        Some(PartKind::Output {
            side: OutputSide::HighSide,
            ..
        }) => place == 1,
        Some(PartKind::Output { .. }) => place == 0,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use super::*;
    use crate::testing::Bench;

    fn relay(suppression: Option<Suppression>, clamp: Option<bool>, hold_a: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        let mut kind = Bench::coil(80.0, 9.0);
        if let PartKind::Coil {
            suppression: s,
            hold_a: h,
            ..
        } = &mut kind
        {
            (*s, *h) = (suppression, hold_a);
        }
        bench.part("K2 coil", kind, &["PB rail", "PB-A17"]);
        bench.wire("W79", "PB-A17", "MC-A24", 0.5, 2.6);
        let out = bench.part("MC OUT3", Bench::low_side(0.05), &["MC-A24", "MC-A4"]);
        bench.edit(out, |p: &mut Part| {
            if let PartKind::Output { clamp: c, .. } = &mut p.kind {
                *c = clamp;
            }
        });
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("coil-suppression")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn neither_coil_nor_output_limits_it() {
        let found = found(&relay(Some(Suppression::None), Some(false), None));
        assert_eq!(
            found,
            [(
                Level::Stop,
                "K2 coil has no suppression, and MC OUT3 at MC-A24 drives it without a diode of its own."
                    .to_owned()
            )]
        );
    }

    #[test]
    fn a_diode_across_it_will_do_the_right_way_round() {
        let with = |ends: [&str; 2]| {
            let mut bench = relay(Some(Suppression::None), Some(false), None);
            bench.part("K2 diode", PartKind::Diode { forward_v: 0.7 }, &ends);
            found(&bench).len()
        };
        assert_eq!((with(["PB-A17", "PB rail"]), with(["PB rail", "PB-A17"])), (0, 1));
    }

    #[test]
    fn either_will_do() {
        assert_eq!(found(&relay(Some(Suppression::Resistor), Some(false), None)), []);
        assert_eq!(found(&relay(Some(Suppression::None), Some(true), None)), []);
    }

    #[test]
    fn what_is_not_recorded_is_asked_for() {
        let asked = |bench: Bench| {
            let report = run_without_mends(&bench.snapshot());
            assert_eq!(report.of("coil-suppression").count(), 0);
            report
                .cannot_check
                .iter()
                .filter(|c| c.checks.contains(&CHECK.name))
                .map(|c| c.missing.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(asked(relay(None, Some(false), None)), ["what suppresses K2 coil"]);
        let open = asked(relay(Some(Suppression::None), None, None));
        assert_eq!(open, ["whether MC OUT3 limits a coil's voltage by itself"]);
    }

    #[test]
    fn a_plain_diode_slows_a_contactor() {
        let found = found(&relay(Some(Suppression::Diode), Some(true), Some(0.2)));
        assert_eq!(found.first().map(|f| f.0), Some(Level::Warning));
    }
}
