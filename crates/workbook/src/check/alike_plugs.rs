//! Plugs that fit each other's header within reach of each other.

use std::collections::BTreeMap;

use super::{Check, Finding, Level, Mend, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{Connector, Kind, Unit},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "alike-plugs",
    what: "plugs of one shape in one zone are keyed apart",
    inputs: "faces and keying of connectors, zones of units",
    source: "common practice, no source",
    rests_on: &[(Kind::Connector, &["face", "keying"]), (Kind::Unit, &["zone"])],
    reads: &[(Kind::Connector, &["face", "keying", "sealed"])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut by_shape: BTreeMap<(String, String), Vec<&Connector>> = BTreeMap::new();
    for connector in book.all::<Connector>().values() {
        let zone = book.get(connector.unit).and_then(|u: &Unit| u.zone);
        let count = book.index().cavities_of.get(&connector.id).map_or(0, Vec::len);
        if let Some(zone) = zone.filter(|_| count > 1 && !connector.face.is_empty()) {
            let shape = format!("{count} {} {:?}", connector.face, connector.sealed);
            by_shape
                .entry((book.label_of(zone), shape))
                .or_default()
                .push(connector);
        }
    }
    for ((zone, _), plugs) in by_shape.into_iter().filter(|(_, plugs)| plugs.len() > 1) {
        let mut by_key: BTreeMap<String, Vec<&Connector>> = BTreeMap::new();
        for plug in plugs {
            by_key
                .entry(plug.keying.trim().to_lowercase())
                .or_default()
                .push(plug);
        }
        for (key, mut plugs) in by_key {
            plugs.order_by(|c| natural(&c.label));
            let labels: Vec<String> = plugs.iter().map(|c| c.label.clone()).collect();
            let Some(first) = plugs.first() else { continue };
            if key.is_empty() {
                let missing = format!(
                    "what keys it apart from plugs of its shape in {zone} ({})",
                    list(&labels)
                );
                let asks = plugs.iter().map(|c| Ask::of(c.id, &fields::CONNECTOR_KEYING));
                out.cannot(CHECK.name, first.id, missing, asks);
                continue;
            }
            if plugs.len() < 2 {
                continue;
            }
            let sentence = format!(
                "{} are alike, in one zone ({zone}) and keyed alike ({}).",
                list(&labels),
                first.keying.trim()
            );
            out.find(
                Finding::new(CHECK.name, Level::Warning, first.id, sentence)
                    .with(plugs.iter().skip(1).map(|c| c.id))
                    .matters("Two plugs that fit each other's header are swapped one day.")
                    .mend(Mend::words(
                        "another key for one, or leads too short to reach the other's header",
                    ))
                    .source(CHECK.source),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn plugs(zones: [&str; 2], keys: [&str; 2]) -> Bench {
        let mut bench = Bench::new();
        for ((label, zone), key) in ["MC-A", "DC-A"].into_iter().zip(zones).zip(keys) {
            bench.cavity(label, "1");
            bench.cavity(label, "2");
            let (connector, unit, zone) = (
                bench.connector(label),
                bench.unit(label.split('-').next().unwrap()),
                bench.zone(zone, 40.0),
            );
            bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
            bench.edit(connector, |c: &mut Connector| {
                c.face = "rows 2, from upper left".to_owned();
                key.clone_into(&mut c.keying);
            });
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("alike-plugs").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn two_plugs_of_one_shape_zone_and_key_are_found() {
        assert_eq!(
            found(&plugs(["rear", "rear"], ["a", "A"])),
            ["DC-A and MC-A are alike, in one zone (rear) and keyed alike (A)."]
        );
        assert_eq!(found(&plugs(["rear", "rear"], ["A", "B"])), [""; 0]);
        assert_eq!(found(&plugs(["rear", "front"], ["A", "A"])), [""; 0]);
    }

    #[test]
    fn keys_that_nobody_told_are_asked_for_once() {
        assert_eq!(
            plugs(["rear", "rear"], ["", ""]).missing_for("alike-plugs"),
            ["what keys it apart from plugs of its shape in rear (DC-A and MC-A)"]
        );
        assert_eq!(
            plugs(["rear", "front"], ["", ""]).missing_for("alike-plugs"),
            [""; 0]
        );
    }
}
