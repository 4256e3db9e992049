//! A signal that stays up long after it is switched off.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, time},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Kind, SignalKind, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "lingering-signal",
    what: "what makes a unit run or feeds it goes away within 2 s of being switched off",
    inputs: "kinds of cavities, the release delay of each source, what it feeds",
    source: "2 s: common practice, no source",
    rests_on: &[(Kind::Cavity, &["limits", "decision"])],
    reads: &[],
    find,
};

/// How long a run signal may stay, s.
const MOST_S: f64 = 2.0;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for source in book.all::<Cavity>().values() {
        let release_s = source.limits.release_s;
        // Electronics decide themselves when such an output lets go; what a switch gives ends with the switch.
        let unknown = release_s.is_none() && source.kind == Some(SignalKind::HighSideOut);
        if source.decision == Decision::NotOurs || !(unknown || release_s.is_some_and(|s| s > MOST_S)) {
            continue;
        }
        let sinks = fed(see, source);
        if sinks.is_empty() {
            continue;
        }
        let Some(release_s) = release_s else {
            if let Some(unit) = see.unit_of(source.id) {
                let missing = format!(
                    "how long {} stays on after switch-off",
                    book.cavity_name(source.id)
                );
                out.cannot(
                    CHECK.name,
                    unit,
                    missing,
                    [Ask::of(source.id, &fields::CAVITY_RELEASE)],
                );
            }
            continue;
        };
        let wires = see.signals().nets.at_cavity(source.id);
        let wires = wires
            .and_then(|id| see.signals().nets.get(id))
            .map(|net| &net.wires);
        let names: Vec<String> = sinks.iter().map(|c| named(book, c)).collect();
        let wires = wires.into_iter().flatten();
        let wires: Vec<String> = wires.map(|w| book.label_of::<Wire>(*w)).collect();
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

/// What a source makes run or feeds.
fn fed<'a>(see: &'a Snapshot, source: &Cavity) -> Vec<&'a Cavity> {
    let nets = &see.signals().nets;
    let net = nets.at_cavity(source.id).and_then(|id| nets.get(id));
    let cavities = net.into_iter().flat_map(|net| net.cavities());
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
    cavities.filter_map(|id| see.book().get(id)).filter(fed).collect()
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(release_s: Option<f64>, sink: SignalKind) -> Bench {
        let mut bench = Bench::new();
        bench.wire("W49", "DN-A2", "MC-A20", 0.5, 1.9);
        let (source, input) = (bench.cavity("DN-A", "2"), bench.cavity("MC-A", "20"));
        bench.edit(source, |c: &mut Cavity| {
            c.kind = Some(SignalKind::HighSideOut);
            c.limits.release_s = release_s;
        });
        bench.edit(input, |c: &mut Cavity| c.kind = Some(sink));
        bench
    }

    fn run(release_s: Option<f64>, sink: SignalKind) -> Vec<String> {
        let report = run_without_mends(&bench(release_s, sink).snapshot());
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
    #[test]
    fn an_output_that_may_linger_is_asked_how_long_unless_it_runs_nothing() {
        let missing = |release_s, sink| bench(release_s, sink).missing_for("lingering-signal");
        assert_eq!(
            missing(None, SignalKind::DigitalInHigh),
            ["how long DN-A2 stays on after switch-off"]
        );
        assert_eq!(missing(Some(0.5), SignalKind::DigitalInHigh), [""; 0]);
        assert_eq!(missing(None, SignalKind::AnalogueIn), [""; 0]);
    }
}
