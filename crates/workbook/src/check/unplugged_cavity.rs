//! An empty cavity of a sealed connector without a plug.

use super::{Check, Finding, Level, Mend, Out, common::words::cavity as named};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, Decision, Kind, Unit, Zone},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "unplugged-cavity",
    what: "every empty cavity of a sealed connector has a sealing plug",
    inputs: "whether connectors are sealed, decisions, listed plugs, whether water reaches the zone",
    source: "common practice, no source",
    rests_on: &[(Kind::Cavity, &["decision", "plug"])],
    reads: &[
        (Kind::Cavity, &["plug"]),
        (Kind::Connector, &["sealed"]),
        (Kind::Zone, &["wet"]),
    ],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for connector in book.all::<Connector>().values() {
        let empty: Vec<&Cavity> = book
            .cavities_of(connector.id)
            .into_iter()
            .filter(|c| matches!(c.decision, Decision::Blank | Decision::Reserved) && !c.plug)
            .collect();
        match connector.sealed {
            Some(false) => continue,
            None if empty.is_empty() => continue,
            None => {
                let ask = Ask::of(connector.id, &fields::CONNECTOR_SEALED);
                out.cannot(CHECK.name, connector.id, "whether its cavities are sealed", [ask]);
                continue;
            }
            Some(true) => {}
        }
        let zone = book.get(connector.unit).and_then(|u: &Unit| u.zone);
        let wet = zone.and_then(|z| book.get(z)).is_none_or(|z: &Zone| z.wet);
        for cavity in empty {
            let sentence = format!(
                "{} has no sealing plug: it is {} in a sealed connector{}.",
                named(book, cavity),
                cavity.decision.words(),
                if wet { "" } else { " in a dry place" },
            );
            out.find(
                Finding::new(
                    CHECK.name,
                    if wet { Level::Warning } else { Level::Note },
                    cavity.id,
                    sentence,
                )
                .with([connector.id])
                .matters("Water that enters one empty cavity reaches all contacts of the connector.")
                .mend(Mend::words("list and fit a plug"))
                .source(CHECK.source),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn cavity(sealed: Option<bool>, plug: bool, decision: Decision) -> Bench {
        let mut bench = Bench::new();
        let (connector, cavity) = (bench.connector("MC-A"), bench.cavity("MC-A", "30"));
        bench.edit(connector, |c: &mut Connector| c.sealed = sealed);
        bench.edit(cavity, |c: &mut Cavity| (c.decision, c.plug) = (decision, plug));
        bench
    }

    fn found(bench: &Bench) -> Vec<Level> {
        let report = run_without_mends(&bench.snapshot());
        report.of("unplugged-cavity").map(|f| f.level).collect()
    }

    #[test]
    fn an_empty_cavity_needs_its_plug() {
        assert_eq!(
            found(&cavity(Some(true), false, Decision::Blank)),
            [Level::Warning]
        );
        assert_eq!(found(&cavity(Some(true), true, Decision::Blank)), []);
        assert_eq!(found(&cavity(Some(true), false, Decision::Wired)), []);
        assert_eq!(found(&cavity(Some(false), false, Decision::Blank)), []);
    }

    #[test]
    fn in_a_dry_place_it_is_a_note_and_unknown_sealing_is_asked_for() {
        let mut bench = cavity(Some(true), false, Decision::Reserved);
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("MC"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        assert_eq!(found(&bench), [Level::Note]);
        let report = run_without_mends(&cavity(None, false, Decision::Blank).snapshot());
        assert!(report.cannot_check.iter().any(|c| c.missing.contains("sealed")));
    }
}
