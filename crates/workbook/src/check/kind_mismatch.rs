//! A source on an input of a kind that it does not suit.

use crimpbook_core::tables::compat::{CompatRow, Fit, pair};

use super::{Check, Finding, Level, Mend, Out, common::words::cavity as named, two_drivers};

use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Id, Kind, OutputSide, Part, PartKind, PullTo, SignalKind},
    signals::{JOINT_OHM, Net, OriginKind},
};

pub(super) static CHECK: Check = Check {
    name: "kind-mismatch",
    what: "each source drives an input of a kind that it suits, or through what makes it suit",
    inputs: "kinds of cavities, what each net joins, pulls",
    source: "common practice, no source: assets/source_to_sink.csv, a pair of kinds a row",
    rests_on: &[(Kind::Cavity, &["kind", "decision", "limits"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for (_, net) in see
        .signals()
        .nets
        .all()
        .filter(|(_, net)| net.terminals.len() > 1)
    {
        for sink in used(see, net) {
            let Some((source, row)) = worst(see, net, sink) else {
                continue;
            };
            let (level, verb) = match row.fit {
                Fit::Direct => continue,
                Fit::Needs => (Level::Warning, "needs"),
                Fit::Wrong => (Level::Stop, "does not suit"),
            };
            let sentence = match row.fit {
                Fit::Needs => format!(
                    "{}: {} on this {} {verb} {}.",
                    named(book, sink),
                    named(book, source),
                    row.takes,
                    row.what
                ),
                _ => format!(
                    "{} gets {} of {}, which {verb} this {}: {}.",
                    named(book, sink),
                    row.gives,
                    named(book, source),
                    row.takes,
                    row.what
                ),
            };
            let mut finding = Finding::new(CHECK.name, level, sink.id, sentence);
            // Where several outputs meet that is what is wrong first.
            let against =
                two_drivers::drivers(see, net).filter(|(_, all)| all.iter().any(|c| c.id == source.id));
            if let Some(first) = against.and_then(|(_, all)| all.first().map(|c| c.id)) {
                finding = finding.follows(two_drivers::CHECK.name, first);
            }
            out.find(
                finding
                    .with([source.id])
                    .with(net.wires.iter().copied())
                    .matters("At best it never reads right; at worst one of the two units dies at power-up.")
                    .mend(Mend::words(
                        "another source, another input, or what makes the two suit",
                    ))
                    .source(row.source.to_string()),
            );
        }
    }
}

/// Whether the source of an input is of a kind that does not suit it.
pub(super) fn is_wrong(see: &Snapshot, cavity: Id<Cavity>) -> bool {
    let nets = &see.signals().nets;
    let net = nets.at_cavity(cavity).and_then(|id| nets.get(id));
    let sink = see.book().get(cavity);
    let row = net.zip(sink).and_then(|(net, sink)| worst(see, net, sink));
    row.is_some_and(|(_, row)| row.fit == Fit::Wrong)
}

fn used<'a>(see: &'a Snapshot, net: &'a Net) -> impl Iterator<Item = &'a Cavity> {
    let of = |id| see.book().get(id);
    net.cavities().filter_map(of).filter(|c: &&Cavity| {
        !matches!(
            c.decision,
            Decision::Blank | Decision::Reserved | Decision::NotOurs
        )
    })
}

/// The source on a net that suits an input least.
fn worst<'a>(see: &'a Snapshot, net: &'a Net, sink: &Cavity) -> Option<(&'a Cavity, &'static CompatRow)> {
    let takes = sink.kind?.words();
    used(see, net)
        .filter(|source| source.id != sink.id)
        .filter_map(|source| Some((source, pair(gives(see, net, source)?, takes)?)))
        .filter(|(_, row)| {
            row.fit == Fit::Wrong || (row.fit == Fit::Needs && !has(see, net, sink, &row.what))
        })
        .min_by_key(|(_, row)| row.fit == Fit::Needs)
}

/// What a cavity gives, as the table calls it.
fn gives(see: &Snapshot, net: &Net, source: &Cavity) -> Option<&'static str> {
    match source.kind? {
        SignalKind::SwitchContact => side(see, net),
        kind if kind.is_source() => Some(kind.words()),
        _ => None,
    }
}

/// Where the contact on a net leads.
fn side(see: &Snapshot, net: &Net) -> Option<&'static str> {
    let signal = net.cavities().find_map(|id| see.signals().at_cavity(id))?;
    let power = |kind| matches!(kind, OriginKind::Power | OriginKind::Output(OutputSide::HighSide));
    if signal.origins.iter().any(|o| power(o.kind)) {
        return Some("switch contact to supply");
    }
    let to_ground = net.parts.iter().filter_map(|(id, place)| {
        let part: &Part = see.book().get(*id)?;
        let PartKind::Contact { .. } = part.kind else {
            return None;
        };
        part.ends.get(1 - (*place).min(1))
    });
    let nets = &see.signals().nets;
    let is_ground = |end| {
        nets.at(end)
            .and_then(|id| see.signals().get(id))
            .is_some_and(|s| s.is_ground)
    };
    to_ground
        .into_iter()
        .any(is_ground)
        .then_some("switch contact to ground")
}

/// Whether what is needed is there: a pull inside the input, or a resistor on the net.
fn has(see: &Snapshot, net: &Net, sink: &Cavity, needed: &str) -> bool {
    let up = needed.starts_with("a pull-up");
    if !up && !needed.starts_with("a pull-down") {
        return false;
    }
    let inside = sink.limits.pull.map(|p| p.to);
    if match inside {
        Some(PullTo::Supply | PullTo::FiveVolts) => up,
        Some(PullTo::Ground) => !up,
        _ => false,
    } {
        return true;
    }
    let nets = &see.signals().nets;
    net.parts.iter().any(|(id, place)| match see.book().get(*id) {
        Some(Part {
            kind: PartKind::Resistor { ohm },
            ends,
            ..
        }) if *ohm > JOINT_OHM => {
            let other = ends.get(1 - (*place).min(1)).and_then(|end| nets.at(end));
            let ground = other
                .and_then(|id| see.signals().get(id))
                .is_some_and(|s| s.is_ground);
            ground != up
        }
        _ => false,
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn pair(source: SignalKind, sink: SignalKind, pull: Option<PullTo>) -> Bench {
        let mut bench = Bench::new();
        bench.wire("W1", "CH-A1", "MC-A10", 0.5, 1.0);
        let (gives, takes) = (bench.cavity("CH-A", "1"), bench.cavity("MC-A", "10"));
        bench.edit(gives, |c: &mut Cavity| c.kind = Some(source));
        bench.edit(takes, |c: &mut Cavity| {
            c.kind = Some(sink);
            c.limits.pull = pull.map(|to| Pull { to, ohm: None });
        });
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("kind-mismatch")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn twelve_volts_on_an_analogue_input_is_a_stop() {
        assert_eq!(
            found(&pair(SignalKind::HighSideOut, SignalKind::AnalogueIn, None)),
            [(
                Level::Stop,
                "MC-A10 gets high-side output of CH-A1, which does not suit this analogue input: 12 V destroys or clamps it; a divider or a relay between."
                    .to_owned()
            )]
        );
        assert_eq!(
            found(&pair(SignalKind::AnalogueOut, SignalKind::AnalogueIn, None)),
            []
        );
        let bus = found(&pair(SignalKind::CanHigh, SignalKind::DigitalInHigh, None));
        assert_eq!(bus.first().map(|f| f.0), Some(Level::Stop));
    }

    #[test]
    fn a_pull_inside_is_what_an_open_collector_needs() {
        let on = |pull| found(&pair(SignalKind::OpenCollector, SignalKind::DigitalInHigh, pull));
        assert_eq!(on(Some(PullTo::Ground))[0].0, Level::Warning);
        assert_eq!(on(Some(PullTo::Supply)), []);
        assert_eq!(
            found(&pair(SignalKind::OpenCollector, SignalKind::DigitalInLow, None)),
            []
        );
        let mut pulled = pair(
            SignalKind::OpenCollector,
            SignalKind::DigitalInHigh,
            Some(PullTo::Ground),
        );
        pulled.resistor("pull-up", 2200.0, &["MC-A10", "KEY"]);
        assert_eq!(found(&pulled), []);
    }

    /// A contact suits by where it leads.
    #[test]
    fn a_contact_to_supply_does_not_pull_an_input_to_ground() {
        let contact = |feed: &str| {
            let mut bench = pair(
                SignalKind::SwitchContact,
                SignalKind::DigitalInLow,
                Some(PullTo::Supply),
            );
            bench.battery();
            let kind = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
            bench.part("switch", kind, &["CH-A2", "CH-A1"]);
            bench.wire("W2", feed, "CH-A2", 0.5, 1.0);
            found(&bench).len()
        };
        assert_eq!((contact("BP"), contact("G1")), (1, 0));
    }

    #[test]
    fn what_the_manual_does_not_tell_is_not_judged() {
        let mut bench = pair(SignalKind::HighSideOut, SignalKind::AnalogueIn, None);
        let sink = bench.cavity("MC-A", "10");
        bench.edit(sink, |c: &mut Cavity| c.kind = None);
        let report = run_without_mends(&bench.snapshot());
        assert_eq!(report.of("kind-mismatch").count(), 0);
        assert!(
            report
                .cannot_check
                .iter()
                .any(|c| c.missing == "the kind of MC-A10"),
            "{:?}",
            report.cannot_check
        );
    }
}
