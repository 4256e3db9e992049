//! Two outputs that drive one wire against each other.

use super::{
    Check, Finding, Level, Mend, Out,
    common::words::{cavity as named, list},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Kind, SignalKind, Wire},
    signals::Net,
};

pub(super) static CHECK: Check = Check {
    name: "two-drivers",
    what: "no two outputs drive one net, but those that all pull to ground",
    inputs: "kinds of cavities, what each net joins",
    source: "common practice, no source: outputs that all pull to ground may share a wire, others need a diode each",
    rests_on: &[
        (Kind::Cavity, &["kind", "decision"]),
        (Kind::Wire, &["from", "to"]),
    ],
    reads: &[],
    find,
};

/// The outputs that work against each other on a net.
pub(super) fn drivers<'a>(see: &'a Snapshot, net: &Net) -> Option<(Level, Vec<&'a Cavity>)> {
    let all: Vec<&Cavity> = net
        .cavities()
        .filter_map(|id| see.book().get(id))
        .filter(|c: &&Cavity| !matches!(c.decision, Decision::Blank | Decision::Reserved))
        .collect();
    let of = |kinds: fn(SignalKind) -> bool| {
        let is = move |c: &&&Cavity| c.kind.is_some_and(kinds);
        all.iter().filter(is).copied().collect::<Vec<_>>()
    };
    let (high, low, contacts) = (of(drives), of(pulls_down), of(|k| k == SignalKind::SwitchContact));
    let both_ways = !high.is_empty() && !low.is_empty();
    if high.len() > 1 || both_ways {
        Some((Level::Stop, high.into_iter().chain(low).collect()))
    } else if high.len() == 1 && !contacts.is_empty() {
        Some((Level::Warning, high.into_iter().chain(contacts).collect()))
    } else {
        None
    }
}

fn find(see: &Snapshot, out: &mut Out) {
    let (book, nets) = (see.book(), &see.signals().nets);
    for (_, net) in nets.all().filter(|(_, net)| net.terminals.len() > 1) {
        let Some((level, drivers)) = drivers(see, net) else {
            continue;
        };
        let Some(first) = drivers.first() else { continue };
        let names: Vec<String> = drivers.iter().map(|c| named(book, c)).collect();
        let wires: Vec<String> = net.wires.iter().map(|w| book.label_of::<Wire>(*w)).collect();
        let sentence = format!(
            "{} {} driven by {} outputs: {}.",
            if wires.is_empty() {
                named(book, first)
            } else {
                list(&wires)
            },
            if wires.len() > 1 { "are" } else { "is" },
            drivers.len(),
            list(&names)
        );
        let kinds: Vec<&str> = drivers
            .iter()
            .filter_map(|c| c.kind.map(SignalKind::words))
            .collect();
        out.find(
            Finding::new(CHECK.name, level, first.id, sentence)
                .with(drivers.iter().skip(1).map(|c| c.id))
                .matters(format!(
                    "Where one is on and the other off they work against each other, or one feeds the other's unit through its pin ({}).",
                    kinds.join(", ")
                ))
                .mend(Mend::words("one output alone, a diode in each, or a relay contact for one of them"))
                .source(CHECK.source),
        );
    }
}

/// Outputs that bring a level of their own.
fn drives(kind: SignalKind) -> bool {
    matches!(
        kind,
        SignalKind::HighSideOut
            | SignalKind::PwmOut
            | SignalKind::AnalogueOut
            | SignalKind::SensorSupply
            | SignalKind::SerialTx
            | SignalKind::InterlockOut
            | SignalKind::PotWiper
    )
}

/// Outputs that only pull to ground.
fn pulls_down(kind: SignalKind) -> bool {
    matches!(
        kind,
        SignalKind::LowSideOut | SignalKind::OpenCollector | SignalKind::EncoderOut
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn lamp(one: SignalKind, other: SignalKind) -> Vec<(Level, String)> {
        let mut bench = Bench::new();
        for (number, name, kind) in [(1, "MC-A1", one), (2, "DN-A7", other)] {
            bench.wire(&format!("W{number}"), name, "SP1", 0.5, 1.0);
            let (connector, cavity) = name.split_at(4);
            let cavity = bench.cavity(connector, cavity);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        bench.wire("W3", "SP1", "DI-A14", 0.5, 1.0);
        let report = run_without_mends(&bench.snapshot());
        report
            .of("two-drivers")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn outputs_that_all_pull_to_ground_may_share_a_wire() {
        assert_eq!(lamp(SignalKind::LowSideOut, SignalKind::OpenCollector), []);
        assert_eq!(lamp(SignalKind::SwitchContact, SignalKind::SwitchContact), []);
        assert_eq!(lamp(SignalKind::HighSideOut, SignalKind::DigitalInHigh), []);
    }

    #[test]
    fn any_other_two_are_found() {
        let two = lamp(SignalKind::HighSideOut, SignalKind::HighSideOut);
        assert_eq!(
            two,
            [(
                Level::Stop,
                "W1, W2 and W3 are driven by 2 outputs: MC-A1 and DN-A7.".to_owned()
            )]
        );
        assert_eq!(
            lamp(SignalKind::HighSideOut, SignalKind::LowSideOut)[0].0,
            Level::Stop
        );
        assert_eq!(lamp(SignalKind::SerialTx, SignalKind::SerialTx)[0].0, Level::Stop);
        assert_eq!(
            lamp(SignalKind::HighSideOut, SignalKind::SwitchContact)[0].0,
            Level::Warning
        );
    }
}
