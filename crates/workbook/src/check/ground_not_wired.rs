//! A ground cavity without a wire, or parallel grounds that do not share.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, number},
};
use crate::{
    analysis::Snapshot,
    circuit::WireRun,
    model::{Cavity, Decision, End, Id, Junction, Kind, SignalKind, Unit},
};
use std::collections::BTreeMap;

pub(super) static CHECK: Check = Check {
    name: "ground-not-wired",
    what: "every ground cavity of a unit is wired, and grounds in parallel to one stud are alike",
    inputs: "kinds of cavities, decisions, wires with size and length",
    source: "common practice, no source: parallel returns within 20 % of each other",
    rests_on: &[
        (Kind::Cavity, &["decision", "kind"]),
        (
            Kind::Wire,
            &["area_mm2", "size_written", "length_m", "from", "to"],
        ),
    ],
    reads: &[
        (Kind::Cavity, &["why"]),
        (
            Kind::Wire,
            &["area_mm2", "size_written", "size_table", "length_m"],
        ),
    ],
    find,
};

/// Parallel returns may differ by this share.
const ALIKE: f64 = 0.2;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for unit in book.all::<Unit>().values() {
        let connectors = book.index().connectors_of.of(&unit.id);
        let grounds: Vec<&Cavity> = connectors
            .iter()
            .flat_map(|c| book.cavities_of(*c))
            .filter(|c| c.kind == Some(SignalKind::Ground) && c.decision != Decision::NotOurs)
            .collect();
        for cavity in &grounds {
            if matches!(cavity.decision, Decision::Blank | Decision::Reserved) {
                unwired(see, unit, cavity, out);
            }
        }
        parallel(see, unit, &grounds, out);
    }
}

fn unwired(see: &Snapshot, unit: &Unit, cavity: &Cavity, out: &mut Out) {
    // Left out on purpose, with its why, where the unit has another ground: worth a note.
    let grounded = see.wiring().grounds.contains_key(&unit.id);
    let level = match (grounded, cavity.why.is_empty()) {
        (false, _) => Level::Stop,
        (true, true) => Level::Warning,
        (true, false) => Level::Note,
    };
    let sentence = format!(
        "{} is a ground without a wire: it is {}{}.",
        named(see.book(), cavity),
        cavity.decision.words(),
        if grounded {
            ""
        } else {
            ", and its unit has no other"
        },
    );
    out.find(
        Finding::new(CHECK.name, level, cavity.id, sentence)
            .matters("What should return through it goes through the others, or through signal wires.")
            .mend(Mend::words("wire it, or say why the manual lets it stay open"))
            .source(CHECK.source),
    );
}

fn parallel(see: &Snapshot, unit: &Unit, grounds: &[&Cavity], out: &mut Out) {
    let mut by_stud: BTreeMap<Id<Junction>, Vec<&WireRun>> = BTreeMap::new();
    for cavity in grounds {
        for (id, _) in see.book().index().wires_at_cavity.of(&cavity.id) {
            let (Some(wire), Some(run)) = (see.book().get(*id), see.wiring().wire_at(*id)) else {
                continue;
            };
            let ((End::Junction(stud), _) | (_, End::Junction(stud))) = (wire.from, wire.to) else {
                continue;
            };
            by_stud
                .entry(stud)
                .or_default()
                .extend(see.wiring().wires.get(run));
        }
    }
    for (stud, runs) in by_stud.iter().filter(|(_, runs)| runs.len() > 1) {
        let ohms: Vec<f64> = runs.iter().filter_map(|r| r.conductor_ohm).collect();
        let least = ohms.iter().copied().fold(f64::INFINITY, f64::min);
        let most = ohms.iter().copied().fold(0.0, f64::max);
        if most <= least * (1.0 + ALIKE) {
            continue;
        }
        let labels: Vec<String> = runs.iter().map(|r| see.book().label_of(r.wire)).collect();
        let sentence = format!(
            "{} to {}: grounds of {} in parallel are not alike, {} to {} mΩ.",
            list(&labels),
            see.book().label_of(*stud),
            unit.label,
            number(least * 1000.0),
            number(most * 1000.0),
        );
        out.find(
            Finding::new(CHECK.name, Level::Warning, unit.id, sentence)
                .with(runs.iter().map(|r| r.wire))
                .figure(Figure::against(
                    "the larger over the smaller",
                    most / least,
                    1.0 + ALIKE,
                    "",
                ))
                .matters("The current takes the easier way: one wire carries nearly all of it.")
                .mend(Mend::words("same size and length for both"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn bench(why: &str, second_mm2: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        for number in ["4", "5"] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(SignalKind::Ground);
                c.decision = Decision::Blank;
                why.clone_into(&mut c.why);
            });
        }
        bench.wire("W24", "MC-A4", "G2", 1.5, 1.4);
        if let Some(mm2) = second_mm2 {
            bench.wire("W25", "MC-A5", "G2", mm2, 1.4);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<Level> {
        let report = run_without_mends(&bench.snapshot());
        report.of("ground-not-wired").map(|f| f.level).collect()
    }

    #[test]
    fn a_ground_without_a_wire_is_found_and_with_its_why_noted() {
        assert_eq!(found(&bench("", None)), [Level::Warning]);
        assert_eq!(found(&bench("the manual joins it inside", None)), [Level::Note]);
        assert_eq!(found(&bench("", Some(1.5))), []);
    }

    #[test]
    fn parallel_grounds_have_to_be_alike() {
        assert_eq!(found(&bench("", Some(0.75))), [Level::Warning]);
    }

    #[test]
    fn a_unit_without_any_ground_is_a_stop() {
        let mut bench = Bench::new();
        let cavity = bench.cavity("MC-A", "4");
        bench.edit(cavity, |c: &mut Cavity| {
            c.kind = Some(SignalKind::Ground);
            c.decision = Decision::Blank;
        });
        assert_eq!(found(&bench), [Level::Stop]);
    }
}
