//! A unit whose ground goes through another unit.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, number},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Fuse, Id, JunctionKind, Kind, SignalKind, Terminal, Unit},
};

pub(super) static CHECK: Check = Check {
    name: "ground-through-unit",
    what: "a unit that is fed returns to a stud of its own, not through another unit, and no return bears less than the feed may bring",
    inputs: "kinds of cavities, what grounds may carry, wires, fuses",
    source: "common practice, no source",
    rests_on: &[
        (Kind::Cavity, &["kind", "limits", "decision"]),
        (Kind::Wire, &["from", "to"]),
    ],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for unit in book.all::<Unit>().values() {
        let connectors = book.index().connectors_of.of(&unit.id);
        let wired: Vec<&Cavity> = connectors
            .iter()
            .flat_map(|c| book.cavities_of(*c))
            .filter(|c| c.decision == Decision::Wired)
            .collect();
        let grounds: Vec<&Cavity> = wired
            .iter()
            .copied()
            .filter(|c| c.kind == Some(SignalKind::Ground))
            .collect();
        let fed = wired.iter().find(|c| {
            matches!(
                c.kind,
                Some(SignalKind::LogicSupply | SignalKind::SupplyIn | SignalKind::Motor)
            )
        });
        let (Some(first), Some(feed)) = (grounds.first(), fed) else {
            continue;
        };
        // One way of its own is enough; which of several carries what is for the voltages to tell.
        let ways: Option<Vec<&Cavity>> = grounds.iter().map(|c| through(see, unit.id, c)).collect();
        if let Some(ways) = ways {
            say(see, first, feed, &ways, out);
        }
    }
}

/// The ground cavity of another unit that a ground leads into; none: it reaches a stud, or nothing.
fn through<'a>(see: &'a Snapshot, unit: Id<Unit>, ground: &Cavity) -> Option<&'a Cavity> {
    let nets = &see.signals().nets;
    let net = nets.at_cavity(ground.id).and_then(|id| nets.get(id))?;
    let stud = |t: &Terminal| match t {
        Terminal::Junction(id) => see
            .book()
            .get(*id)
            .is_some_and(|j| j.kind != JunctionKind::Splice),
        _ => false,
    };
    if net.terminals.iter().any(stud) {
        return None;
    }
    let other = |c: &&Cavity| c.kind == Some(SignalKind::Ground) && see.unit_of(c.id) != Some(unit);
    net.cavities().filter_map(|id| see.book().get(id)).find(other)
}

fn say(see: &Snapshot, ground: &Cavity, feed: &Cavity, ways: &[&Cavity], out: &mut Out) {
    let book = see.book();
    let Some(way) = ways.first() else { return };
    let bears_a: Option<f64> = ways.iter().map(|c| c.limits.most_a).sum();
    let wires = book.index().wires_at_cavity.of(&feed.id);
    let fuse = wires.iter().find_map(|(wire, _)| {
        let at = see.wiring().wire_at(*wire)?;
        book.get((*see.protection().wires.get(at)?)?.fuse?)
    });
    let bears = bears_a.map_or_else(String::new, |a| format!(", which bears {} A", number(a)));
    let brings = fuse.map_or_else(String::new, |f: &Fuse| {
        format!(
            "; {} {} A feeds {}",
            f.label,
            number(f.rating_a),
            book.cavity_name(feed.id)
        )
    });
    let sentence = format!(
        "{} returns only through {}{bears}{brings}.",
        named(book, ground),
        book.cavity_name(way.id)
    );
    let mut finding = Finding::new(CHECK.name, Level::Warning, ground.id, sentence)
        .with([way.id, feed.id])
        .matters("All that the unit draws returns through a pin of another one, lifts its ground, and may burn its board.")
        .mend(Mend::words("a ground wire of its own to a stud"))
        .source(CHECK.source);
    if let (Some(bears_a), Some(fuse)) = (bears_a, fuse) {
        finding = finding.figure(Figure::against("may be fed", fuse.rating_a, bears_a, "A"));
    }
    out.find(finding);
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn socket(ground: &str, fed: bool) -> Vec<String> {
        let mut bench = Bench::new();
        bench.battery();
        bench.wire("W67", "SV-A2", ground, 0.5, 2.2);
        bench.fuse_way("F8", 5.0, "BP", "PB-A15");
        bench.wire("W68", "PB-A15", "SV-A1", 0.75, 1.5);
        for (connector, number, kind) in [
            (
                "SV-A",
                "1",
                if fed {
                    SignalKind::LogicSupply
                } else {
                    SignalKind::Lamp
                },
            ),
            ("SV-A", "2", SignalKind::Ground),
            ("MC-A", "33", SignalKind::Ground),
        ] {
            let cavity = bench.cavity(connector, number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(kind);
                c.limits.most_a = (kind == SignalKind::Ground).then_some(0.2);
            });
        }
        let report = run_without_mends(&bench.snapshot());
        report
            .of("ground-through-unit")
            .map(|f| f.sentence.clone())
            .collect()
    }

    #[test]
    fn a_fed_unit_returns_to_a_stud() {
        assert_eq!(socket("G2", true), [""; 0]);
        assert_eq!(
            socket("MC-A33", false),
            [""; 0],
            "a signal ground of what is not fed"
        );
        assert_eq!(
            socket("MC-A33", true),
            ["SV-A2 returns only through MC-A33, which bears 0.2 A; F8 5 A feeds SV-A1."]
        );
    }
}
