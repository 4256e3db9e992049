//! Notes: colours met twice in a plug, pages that are missing, what a dead 12 V battery takes with it.

use super::{Check, Finding, Level, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, Decision, Id, Kind, Part, PartKind, Wire, WireColour},
    signals::{JOINT_OHM, NetId, OriginKind},
};
use std::collections::BTreeSet;

pub(super) static COLOUR: Check = Check {
    name: "colour-twice",
    what: "wires of one colour in one plug that are not one net",
    inputs: "colours of wires, what each net joins",
    source: "common practice, no source",
    rests_on: &[(Kind::Wire, &["colour"])],
    reads: &[(Kind::Wire, &["colour"])],
    find: colour,
};

pub(super) static PAGE: Check = Check {
    name: "page-missing",
    what: "cavities with a wire whose page of the manual is not entered",
    inputs: "pages of cavities",
    source: "common practice, no source",
    rests_on: &[(Kind::Cavity, &["page"])],
    reads: &[(Kind::Cavity, &["page"])],
    find: page,
};

pub(super) static DEAD: Check = Check {
    name: "dead-battery",
    what: "what the main contactors need before they close, hence what a dead 12 V battery takes with it",
    inputs: "coils with an economiser, what feeds and switches them",
    source: "traced from the sources",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find: dead,
};

fn colour(see: &Snapshot, out: &mut Out) {
    let (book, nets) = (see.book(), &see.signals().nets);
    for connector in book.all::<Connector>().values() {
        let mut coloured: Vec<(WireColour, &Wire, Id<Cavity>)> = Vec::new();
        for cavity in book.index().cavities_of.of(&connector.id) {
            let ends = book.index().wires_at_cavity.of(cavity).iter();
            let wires = ends.filter_map(|(id, _)| book.get::<Wire>(*id));
            coloured.extend(wires.filter_map(|wire| Some((wire.colour?, wire, *cavity))));
        }
        // Those of one colour stay in the order of cavities.
        coloured.sort_by_key(|(colour, ..)| *colour);
        let mut twice: Vec<(String, String)> = Vec::new();
        let mut places: Vec<Id<Wire>> = Vec::new();
        for wires in coloured
            .chunk_by(|(one, ..), (other, ..)| one == other)
            .filter(|wires| wires.len() > 1)
        {
            let net =
                |(_, _, cavity): &(_, _, Id<Cavity>)| nets.at_cavity(*cavity).map(|net| whole(see, net));
            let joined: BTreeSet<Option<NetId>> = wires.iter().map(net).collect();
            if joined.len() > 1 {
                let labels: Vec<String> = wires.iter().map(|(_, w, _)| w.label.clone()).collect();
                twice.extend(
                    wires
                        .first()
                        .map(|(colour, ..)| (colour.to_string(), list(&labels))),
                );
                places.extend(wires.iter().map(|(_, w, _)| w.id));
            }
        }
        twice.sort_unstable();
        let twice: Vec<String> = twice
            .into_iter()
            .map(|(colour, labels)| format!("{colour} at {labels}"))
            .collect();
        if !twice.is_empty() {
            let sentence = format!(
                "{}: one colour more than once: {}.",
                connector.label,
                twice.join("; ")
            );
            out.find(
                Finding::new(COLOUR.name, Level::Note, connector.id, sentence)
                    .with(places)
                    .matters("Whoever follows a colour under the dash follows the wrong wire.")
                    .source(COLOUR.source),
            );
        }
    }
}

/// The first net of those that joints inside units make one.
fn whole(see: &Snapshot, net: NetId) -> NetId {
    let nets = &see.signals().nets;
    let (mut seen, mut open) = (BTreeSet::new(), vec![net]);
    while let Some(at) = open.pop().filter(|_| seen.len() < 64) {
        if !seen.insert(at) {
            continue;
        }
        for (part, _) in nets.get(at).into_iter().flat_map(|n| &n.parts) {
            if let Some(Part {
                kind: PartKind::Resistor { ohm },
                ends,
                ..
            }) = see.book().get(*part)
                && *ohm <= JOINT_OHM
            {
                open.extend(ends.iter().filter_map(|end| nets.at(end)));
            }
        }
    }
    seen.into_iter().next().unwrap_or(net)
}

fn page(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for connector in book.all::<Connector>().values() {
        let bare: Vec<&Cavity> = book
            .cavities_of(connector.id)
            .into_iter()
            .filter(|c| c.page.is_empty() && matches!(c.decision, Decision::Wired | Decision::Bridged { .. }))
            .collect();
        if bare.is_empty() {
            continue;
        }
        let sentence = format!(
            "{}: {} {} no page of the manual.",
            connector.label,
            bare.len(),
            if bare.len() == 1 {
                "cavity has"
            } else {
                "cavities have"
            }
        );
        out.find(
            Finding::new(PAGE.name, Level::Note, connector.id, sentence)
                .with(bare.iter().map(|c| c.id))
                .matters("Nobody can look up in five years what the figure rests on.")
                .source(PAGE.source),
        );
    }
}

fn dead(see: &Snapshot, out: &mut Out) {
    let (book, signals) = (see.book(), see.signals());
    let mut needs: BTreeSet<String> = BTreeSet::new();
    let mut coils: Vec<&Part> = Vec::new();
    for part in book.all::<Part>().values() {
        let PartKind::Coil { hold_a: Some(_), .. } = part.kind else {
            continue;
        };
        let net = part.ends.first().and_then(|end| signals.nets.at(end));
        let origins = net
            .and_then(|net| signals.get(net))
            .map(|signal| signal.origins.iter());
        let before = needs.len();
        for origin in origins
            .into_iter()
            .flatten()
            .filter(|o| o.kind == OriginKind::Power)
        {
            let relays = origin
                .through
                .iter()
                .filter_map(|id| book.get(*id))
                .filter(|p: &&Part| {
                    matches!(
                        p.kind,
                        PartKind::Contact {
                            driver: crate::model::Driver::Coil { .. },
                            ..
                        }
                    )
                });
            needs.extend(relays.map(|p| p.label.clone()));
            needs.insert(book.label_of(origin.part));
        }
        if needs.len() > before || !needs.is_empty() {
            coils.push(part);
        }
    }
    let Some(first) = coils.first() else { return };
    let labels: Vec<String> = coils.iter().map(|p| p.label.clone()).collect();
    let needs: Vec<String> = needs.into_iter().collect();
    let sentence = format!(
        "{} can close on {} only; with that dead nothing closes.",
        list(&labels),
        list(&needs)
    );
    out.find(
        Finding::new(DEAD.name, Level::Note, first.id, sentence)
            .with(coils.iter().skip(1).map(|p| p.id))
            .matters("With the 12 V battery flat the van is dead, however full the pack: a way to jump it belongs on the service page.")
            .source(DEAD.source),
    );
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn found(bench: &Bench, check: &str) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        assert!(report.of(check).all(|f| f.level == Level::Note));
        report.of(check).map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_colour_may_come_twice_on_one_net_or_through_a_unit() {
        let colours = |joint: bool| {
            let mut bench = Bench::new();
            for (wire, cavity) in [("W60", "BM-A7"), ("W62", "BM-A9")] {
                let id = bench.wire(wire, cavity, &format!("SP{wire}"), 0.5, 1.0);
                bench.edit(id, |w: &mut Wire| w.colour = "GN".parse().ok());
            }
            if joint {
                bench.resistor("through", 0.01, &["BM-A7", "BM-A9"]);
            }
            found(&bench, "colour-twice")
        };
        assert_eq!(colours(true), [""; 0]);
        assert_eq!(
            colours(false),
            ["BM-A: one colour more than once: GN at W60 and W62."]
        );
    }

    #[test]
    fn pages_that_are_missing_are_counted() {
        let mut bench = Bench::new();
        bench.wire("W1", "MC-A1", "MC-A2", 0.5, 1.0);
        let cavity = bench.cavity("MC-A", "1");
        bench.edit(cavity, |c: &mut Cavity| c.page = "14".to_owned());
        assert_eq!(
            found(&bench, "page-missing"),
            ["MC-A: 1 cavity has no page of the manual."]
        );
        let other = bench.cavity("MC-A", "2");
        bench.edit(other, |c: &mut Cavity| c.page = "14".to_owned());
        assert_eq!(found(&bench, "page-missing"), [""; 0]);
    }

    #[test]
    fn contactors_hang_on_the_battery() {
        let mut bench = Bench::new();
        bench.battery();
        let mut kind = Bench::coil(3.2, 9.0);
        if let PartKind::Coil { hold_a, .. } = &mut kind {
            *hold_a = Some(0.2);
        }
        bench.part("MAIN+ coil", kind, &["CB-A1", "CB-A2"]);
        assert_eq!(found(&bench, "dead-battery"), [""; 0], "nothing feeds it");
        bench.wire("W14", "BP", "CB-A1", 1.0, 1.2);
        assert_eq!(
            found(&bench, "dead-battery"),
            ["MAIN+ coil can close on battery only; with that dead nothing closes."]
        );
    }
}
