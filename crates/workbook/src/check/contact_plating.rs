//! A contact that is plated otherwise than the pin it meets.

use std::collections::{BTreeMap, BTreeSet};

use super::{Check, Finding, Level, Mend, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, ContactFamily, Decision, Id, Kind, Plating, Unit},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "contact-plating",
    what: "each contact is plated like the pin it meets",
    inputs: "the plating of contact families and of the units' pins",
    source: "common practice, no source: tin on tin, gold on gold; tin that rubs on gold comes off and oxidises between them",
    rests_on: &[
        (Kind::Connector, &["pin_plating"]),
        (Kind::Cavity, &["contact", "decision"]),
        (Kind::ContactFamily, &["plating"]),
    ],
    reads: &[
        (Kind::Connector, &["pin_plating"]),
        (Kind::ContactFamily, &["plating"]),
    ],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut untold: BTreeMap<Id<Unit>, Vec<&Connector>> = BTreeMap::new();
    let mut bare: BTreeSet<Id<ContactFamily>> = BTreeSet::new();
    for connector in book.all::<Connector>().values() {
        let families = families(see, connector.id);
        if families.is_empty() {
            continue;
        }
        // The other half of a coupling is of this book as well; else it is the unit's header.
        let mates: BTreeSet<Option<Plating>> = match connector.couples_to {
            Some(half) => self::families(see, half).iter().map(|f| f.plating).collect(),
            None => [connector.pin_plating].into(),
        };
        if mates.contains(&None) && connector.couples_to.is_none() {
            untold.entry(connector.unit).or_default().push(connector);
        }
        bare.extend(families.iter().filter(|f| f.plating.is_none()).map(|f| f.id));
        for family in families {
            let Some(own) = family.plating else { continue };
            let Some(other) = mates.iter().flatten().find(|mate| **mate != own) else {
                continue;
            };
            let sentence = format!(
                "{}: contact {} is {}, the pin it meets {}.",
                connector.label,
                family.label,
                own.words(),
                other.words()
            );
            out.find(
                Finding::new(CHECK.name, Level::Warning, connector.id, sentence)
                    .with([family.id])
                    .matters(
                        "The softer plating rubs off and oxidises: after a winter small signals come and go.",
                    )
                    .mend(Mend::words(format!(
                        "the same contact plated with {}",
                        other.words()
                    )))
                    .source(CHECK.source),
            );
        }
    }
    for (unit, connectors) in untold {
        let labels: Vec<String> = connectors.iter().map(|c| c.label.clone()).collect();
        let ask = Ask::all(connectors.iter().map(|c| c.id), &fields::CONNECTOR_PIN_PLATING);
        let missing = format!("what the pins at {} are plated with", list(&labels));
        out.cannot(CHECK.name, unit, missing, [ask]);
    }
    for family in bare {
        let ask = Ask::of(family, &fields::CONTACT_PLATING);
        out.cannot(CHECK.name, family, "what it is plated with", [ask]);
    }
}

/// The contact families in a connector's wired cavities.
fn families(see: &Snapshot, connector: Id<Connector>) -> Vec<&ContactFamily> {
    let book = see.book();
    let wired = book.index().cavities_of.get(&connector).into_iter().flatten();
    let wired = wired.filter_map(|id| book.get(*id));
    let ids: BTreeSet<Id<ContactFamily>> = wired
        .filter(|c: &&Cavity| c.decision == Decision::Wired)
        .filter_map(|c| c.contact)
        .collect();
    ids.into_iter().filter_map(|id| book.get(id)).collect()
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(contact: Option<Plating>, pin: Option<Plating>) -> Bench {
        let mut bench = Bench::new();
        let family = bench.contact_family("S", 0.35, 0.5);
        bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        let (cavity, connector) = (bench.cavity("MC-A", "1"), bench.connector("MC-A"));
        bench.edit(cavity, |c: &mut Cavity| c.contact = Some(family));
        bench.edit(connector, |c: &mut Connector| c.pin_plating = pin);
        bench.edit(family, |f: &mut ContactFamily| f.plating = contact);
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("contact-plating").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn gold_on_tin_is_found_and_like_on_like_is_not() {
        use Plating::{Gold, Tin};
        assert_eq!(
            found(&bench(Some(Gold), Some(Tin))),
            ["MC-A: contact S is gold, the pin it meets tin."]
        );
        assert_eq!(found(&bench(Some(Tin), Some(Tin))), [""; 0]);
    }

    #[test]
    fn a_plating_that_nobody_told_is_asked_for() {
        let without_pin = bench(Some(Plating::Tin), None);
        assert_eq!(found(&without_pin), [""; 0]);
        assert_eq!(
            without_pin.missing_for("contact-plating"),
            ["what the pins at MC-A are plated with"]
        );
        let without_contact = bench(None, Some(Plating::Tin));
        assert_eq!(
            without_contact.missing_for("contact-plating"),
            ["what it is plated with"]
        );
    }

    #[test]
    fn the_two_halves_of_a_coupling_meet_each_other() {
        let mut bench = bench(Some(Plating::Gold), None);
        let (tin, half) = (bench.contact_family("T", 0.35, 0.5), bench.connector("XA-B"));
        bench.edit(tin, |f: &mut ContactFamily| f.plating = Some(Plating::Tin));
        bench.wire("W2", "XA-B1", "SP2", 0.5, 1.0);
        let (cavity, connector) = (bench.cavity("XA-B", "1"), bench.connector("MC-A"));
        bench.edit(cavity, |c: &mut Cavity| c.contact = Some(tin));
        bench.edit(connector, |c: &mut Connector| c.couples_to = Some(half));
        assert_eq!(
            found(&bench),
            ["MC-A: contact S is gold, the pin it meets tin."],
            "and nothing is asked of a header that is not there"
        );
    }
}
