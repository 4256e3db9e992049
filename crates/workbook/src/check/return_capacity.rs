//! A unit's ground wires that bear less than all of its loads together may send back.

use std::collections::BTreeMap;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        facts::{Fact, ask},
        words::{list, number},
    },
};
use crate::{
    analysis::Snapshot,
    circuit::PartRun,
    model::{Cavity, Id, Kind, Part, PartKind, SignalKind, Unit, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "return-capacity",
    what: "the ground wires of a unit bear the running currents of all its loads at once, in whatever states they run",
    inputs: "kinds of cavities, loads, sizes and classes of ground wires with the ambient around them, operating states",
    source: "the current that brings a wire to its class in its zone and bundle; the sum is our own, no source",
    rests_on: &[
        (Kind::Cavity, &["kind"]),
        (Kind::Wire, &["area_mm2", "size_written", "bundle", "from", "to"]),
    ],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let (book, wiring) = (see.book(), see.wiring());
    let running: Vec<_> = see.states().iter().filter(|of| !of.stands.starts()).collect();
    let mut drawing: BTreeMap<Id<Unit>, Vec<(usize, &PartRun)>> = BTreeMap::new();
    for (at, run) in wiring.parts.iter().enumerate() {
        let part = book.get(run.part).filter(|p: &&Part| {
            matches!(
                p.kind,
                PartKind::Load { .. } | PartKind::Lamp { .. } | PartKind::Coil { .. }
            )
        });
        if let Some(part) = part {
            drawing.entry(part.unit).or_default().push((at, run));
        }
    }
    for unit in book.all::<Unit>().values() {
        let connectors = book.index().connectors_of.of(&unit.id);
        let grounds: Vec<&Cavity> = connectors
            .iter()
            .flat_map(|c| book.index().cavities_of.get(c).into_iter().flatten())
            .filter_map(|id| book.get(*id))
            .filter(|c: &&Cavity| c.kind == Some(SignalKind::Ground))
            .collect();
        let wires: Vec<usize> = grounds
            .iter()
            .flat_map(|c| book.index().wires_at_cavity.of(&c.id))
            .filter_map(|(id, _)| wiring.wire_at(*id))
            .collect();
        let Some(ground) = wiring.ground_of(unit.id).filter(|_| !wires.is_empty()) else {
            continue;
        };
        let nodes: Vec<u32> = grounds
            .iter()
            .filter_map(|c| wiring.nodes.unit_side(c.id))
            .chain([ground])
            .collect();
        let (mut needs_a, mut loads) = (0.0, 0usize);
        for (at, run) in drawing.get(&unit.id).into_iter().flatten() {
            if run.ends.iter().any(|end| nodes.contains(end)) {
                let most = running.iter().map(|of| of.operated.part_a(*at).abs());
                let most = most.fold(0.0, f64::max);
                needs_a += most;
                loads += usize::from(most > 0.0);
            }
        }
        if loads == 0 {
            continue;
        }
        ask(
            see,
            CHECK.name,
            wires.iter().copied(),
            &[Fact::Size, Fact::Class, Fact::Ambient],
            out,
        );
        let bears: Option<Vec<f64>> = wires.iter().map(|at| bears_a(see, *at)).collect();
        let Some(bears_a) = bears.map(|all| all.iter().sum::<f64>()) else {
            continue;
        };
        if needs_a <= bears_a {
            continue;
        }
        let labels: Vec<&Wire> = wires
            .iter()
            .filter_map(|at| super::common::contacts::wire_at(see, *at))
            .collect();
        let names: Vec<String> = labels.iter().map(|w| w.label.clone()).collect();
        let sentence = format!(
            "{}: its loads may send {} A back at once; {} bear {} A.",
            unit.label,
            number(needs_a),
            list(&names),
            number(bears_a)
        );
        out.find(
            Finding::new(CHECK.name, Level::Warning, unit.id, sentence)
                .with(labels.iter().map(|w| w.id))
                .figure(Figure::against("all loads together", needs_a, bears_a, "A"))
                .matters("No fuse stands in a return: it carries what all feeds let through.")
                .mend(Mend::words("a thicker ground wire, or a second one alike"))
                .source(CHECK.source),
        );
    }
}

/// What a wire bears for ever in its zone and bundle, A; none: not known.
fn bears_a(see: &Snapshot, at: usize) -> Option<f64> {
    let warmth = see.warmth().wires.get(at)?;
    warmth.ambient_c?;
    warmth.alone.as_ref()?;
    let factor = warmth.bundle.and_then(|(_, factor)| factor).unwrap_or(1.0);
    Some(warmth.allowed_alone_a * factor)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// Two loads of 9 A that run in different states, behind one ground wire.
    fn bench(ground_mm2: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        bench.battery();
        let zone = bench.zone("cabin", 40.0);
        for n in ["1", "2"] {
            let state = bench.state(&format!("S{n}"));
            let feed = format!("VP-A{n}");
            bench.wire(&format!("W{n}"), "BP", &feed, 2.5, 1.0);
            bench.load(&format!("pump {n}"), 9.0, &[&feed, "VP-A3"]);
            for other in ["1", "2"].into_iter().filter(|other| *other != n) {
                let feed = format!("VP-A{other}");
                let load = bench.load(&format!("pump {other}"), 9.0, &[&feed, "VP-A3"]);
                bench.set(state, load, PartPosition::Off);
            }
        }
        let wire = bench.wire("W3", "VP-A3", "BN", 1.0, 1.0);
        bench.edit(wire, |w: &mut Wire| w.area_mm2 = ground_mm2);
        let (cavity, unit) = (bench.cavity("VP-A", "3"), bench.unit("VP"));
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("return-capacity").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn loads_that_no_state_runs_together_are_added_up() {
        let thin = found(&bench(Some(0.35)));
        assert!(
            thin.len() == 1 && thin[0].starts_with("VP: its loads may send 18 A back at once; W3 bear "),
            "{thin:?}"
        );
        assert_eq!(found(&bench(Some(4.0))), [""; 0]);
    }

    #[test]
    fn a_ground_wire_without_a_size_is_asked_for() {
        let missing = |mm2| bench(mm2).missing_for("return-capacity");
        let size = "the size of W3".to_owned();
        assert!(missing(None).contains(&size) && !missing(Some(4.0)).contains(&size));
    }
}
