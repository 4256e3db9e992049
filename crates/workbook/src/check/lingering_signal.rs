//! A signal that stays up long after it is switched off.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, time},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Kind, SignalKind, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "lingering-signal",
    what: "what makes a unit run or feeds it goes away within 2 s of being switched off",
    inputs: "the release delay of each source, what it feeds",
    source: "2 s: common practice, no source",
    rests_on: &[(Kind::Cavity, &["limits", "decision"])],
    find,
};

/// How long a run signal may stay, s.
const MOST_S: f64 = 2.0;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let nets = &see.signals().nets;
    for source in book.all::<Cavity>().values() {
        let Some(release_s) = source.limits.release_s.filter(|s| *s > MOST_S) else {
            continue;
        };
        if source.decision == Decision::NotOurs {
            continue;
        }
        let Some(net) = nets.at_cavity(source.id).and_then(|id| nets.get(id)) else {
            continue;
        };
        let fed = |c: &&Cavity| {
            matches!(
                c.kind,
                Some(
                    SignalKind::DigitalInHigh
                        | SignalKind::DigitalInLow
                        | SignalKind::DigitalInBare
                        | SignalKind::LogicSupply
                        | SignalKind::SupplyIn
                        | SignalKind::Coil
                )
            )
        };
        let sinks: Vec<&Cavity> = net.cavities().filter_map(|id| book.get(id)).filter(fed).collect();
        if sinks.is_empty() {
            continue;
        }
        let names: Vec<String> = sinks.iter().map(|c| named(book, c)).collect();
        let wires: Vec<String> = net.wires.iter().map(|w| book.label_of::<Wire>(*w)).collect();
        let sentence = format!(
            "{} from {} stays up {} after switch-off; {} {} {} at most.",
            list(&wires),
            named(book, source),
            time(release_s),
            list(&names),
            if names.len() == 1 {
                "may stay on"
            } else {
                "may stay on each"
            },
            time(MOST_S),
        );
        out.find(
            Finding::new(CHECK.name, Level::Stop, source.id, sentence)
                .with(sinks.iter().map(|c| c.id))
                .figure(Figure::against("stays up", release_s, MOST_S, "s"))
                .matters("Whoever switches off believes it is off: contactors stay closed, and the next one puts a hand in.")
                .mend(Mend::words("take the signal from the key switch or a relay on the key rail"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn run(release_s: Option<f64>, sink: SignalKind) -> Vec<String> {
        let mut bench = Bench::new();
        bench.wire("W49", "DN-A2", "MC-A20", 0.5, 1.9);
        let (source, input) = (bench.cavity("DN-A", "2"), bench.cavity("MC-A", "20"));
        bench.edit(source, |c: &mut Cavity| {
            c.kind = Some(SignalKind::HighSideOut);
            c.limits.release_s = release_s;
        });
        bench.edit(input, |c: &mut Cavity| c.kind = Some(sink));
        let report = run_without_mends(&bench.snapshot());
        report
            .of("lingering-signal")
            .map(|f| f.sentence.clone())
            .collect()
    }

    #[test]
    fn a_run_signal_that_stays_for_a_minute_and_a_half_is_found() {
        assert_eq!(
            run(Some(90.0), SignalKind::DigitalInHigh),
            ["W49 from DN-A2 stays up 90 s after switch-off; MC-A20 may stay on 2 s at most."]
        );
    }

    #[test]
    fn a_quick_one_or_one_that_runs_nothing_is_not() {
        assert_eq!(run(Some(0.5), SignalKind::DigitalInHigh), [""; 0]);
        assert_eq!(run(Some(90.0), SignalKind::AnalogueIn), [""; 0]);
    }
}
