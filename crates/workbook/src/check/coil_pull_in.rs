//! A coil that gets too little to pull in.

use std::collections::HashMap;

use crimpbook_core::{conductor::copper_factor, network::Condition};

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{celsius, number},
};
use crate::{
    analysis::{CoilVolts, Snapshot, StateResult},
    circuit::Stand,
    model::{Id, Kind, Part, PartKind, PartPosition, State},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "coil-pull-in",
    what: "every coil that is to pull in gets its pull-in voltage, hot, in every operating state",
    inputs: "pull-in volts of coils, operating states with coils on or starting, zones with their ambient",
    source: "pull-in volts of the manuals, at 20 °C; they rise with the copper's resistance, (234.5 + T)/254.5",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    // Coils at the 20 °C of their manuals are one solution a state, whichever of them is asked about.
    let mut solved: HashMap<Id<State>, Vec<CoilVolts>> = HashMap::new();
    let mut first_in: HashMap<Id<State>, Id<Part>> = HashMap::new();
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = see.book().get(run.part) else {
            continue;
        };
        let PartKind::Coil {
            pull_in_v, hold_a, ..
        } = part.kind
        else {
            continue;
        };
        let meant = |of: &&StateResult| match of.stands.get(part.id) {
            Stand::Given(PartPosition::Starting) => true,
            // Once an economiser has switched over, the voltage says nothing of the pull-in.
            Stand::Given(PartPosition::On) => hold_a.is_none(),
            _ => false,
        };
        let mut states = see.states().iter().filter(meant).peekable();
        let Some(pull_in_v) = pull_in_v else {
            if states.peek().is_some() {
                out.cannot(
                    CHECK.name,
                    part.unit,
                    format!("the pull-in voltage of {}", part.label),
                    [Ask::of(part.id, &fields::COIL_PULL_IN_V)],
                );
            }
            continue;
        };
        let needs_v = pull_in_v * copper_factor(run.ambient_c);
        let gets = |of: &StateResult| {
            let (Some(one), Some(other)) = (run.ends.first(), run.ends.get(1)) else {
                return None;
            };
            of.operated.between(*one, *other).map(f64::abs)
        };
        let least = states
            .filter_map(|of| Some((gets(of)?, of)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((gets_v, of)) = least.filter(|(v, _)| *v < needs_v) else {
            continue;
        };
        // A coil that nothing feeds at all is a matter of the state's positions, not of its voltage.
        if gets_v < 1.0 || of.operated.condition(at) == Some(Condition::Open) {
            continue;
        }
        let mut finding = finding(see, part, of, gets_v, needs_v, pull_in_v, run.ambient_c);
        // A coil that has stood in the cold draws more and gets less, but needs less too.
        let coils = solved.entry(of.state).or_insert_with(|| see.coils(of));
        let cold = coils.iter().find(|c| c.part == part.id);
        if let Some(cold) = cold.and_then(|c| c.cold) {
            let name = format!("across the coil at {}", celsius(cold.coil_c));
            finding = finding.figure(Figure::against(name, cold.gets_v, pull_in_v, "V"));
        }
        // One battery or one feed that gives too little is one matter, whatever hangs on it.
        match first_in.get(&of.state) {
            Some(first) => finding = finding.follows(CHECK.name, *first),
            None => {
                first_in.insert(of.state, part.id);
            }
        }
        out.find(finding);
    }
}

fn finding(
    see: &Snapshot,
    part: &Part,
    of: &StateResult,
    gets_v: f64,
    needs_v: f64,
    pull_in_v: f64,
    ambient_c: f64,
) -> Finding {
    let sentence = format!(
        "{} gets {} V in {}; at {} it pulls in from {} V ({} V at 20 °C).",
        part.label,
        number(gets_v),
        see.book().label_of(of.state),
        celsius(ambient_c),
        number(needs_v),
        number(pull_in_v),
    );
    Finding::new(CHECK.name, Level::Warning, part.id, sentence)
        .figure(Figure::against("across the coil", gets_v, needs_v, "V"))
        .matters("It does not close, or closes half: its contact burns.")
        .mend(Mend::words(
            "less in the way: thicker wires, coils one after the other, a fuller battery",
        ))
        .source(CHECK.source)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// A coil of 80 Ω behind `ohm`, in 60 °C: it needs 9.0 V × 294.5/254.5 = 10.4 V.
    fn coil(ohm: f64, pull_in_v: Option<f64>, on: bool) -> Bench {
        let mut bench = Bench::new();
        let state = bench.state("12 V LOW");
        bench.battery();
        bench.resistor("feed", ohm, &["BP", "CB-A1"]);
        let mut kind = Bench::coil(80.0, 9.0);
        if let PartKind::Coil { pull_in_v: v, .. } = &mut kind {
            *v = pull_in_v;
        }
        let coil = bench.part("MAIN+ coil", kind, &["CB-A1", "BN"]);
        if on {
            bench.set(state, coil, PartPosition::On);
        }
        let (zone, unit) = (bench.zone("splash", 60.0), bench.unit("CB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("coil-pull-in").map(|f| f.sentence.clone()).collect()
    }

    /// 12.6 V × 92.6/(92.6 + 30) = 9.5 V: enough for a cold coil, not for a hot one.
    #[test]
    fn a_hot_coil_needs_more() {
        assert_eq!(found(&coil(1.0, Some(9.0), true)), [""; 0]);
        let low = found(&coil(30.0, Some(9.0), true));
        assert_eq!(
            low,
            ["MAIN+ coil gets 9.52 V in 12 V LOW; at 60 °C it pulls in from 10.4 V (9 V at 20 °C)."]
        );
        assert_eq!(
            found(&coil(30.0, Some(9.0), false)),
            [""; 0],
            "nobody says that it should be on"
        );
    }

    #[test]
    fn an_unknown_pull_in_is_asked_for() {
        let report = run_without_mends(&coil(1.0, None, true).snapshot());
        assert!(
            report
                .cannot_check
                .iter()
                .any(|c| c.missing == "the pull-in voltage of MAIN+ coil")
        );
    }
}
