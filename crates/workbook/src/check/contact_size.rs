//! A wire whose size the contact at its end does not take.

use super::{
    Check, Finding, Level, Out,
    common::{
        contacts::{families, takes},
        words::number,
    },
};
use crate::{
    analysis::Snapshot,
    circuit::size_of,
    model::{Cavity, Connector, Decision, Id, Kind, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "contact-size",
    what: "each wire's size lies within what the contact at its end takes",
    inputs: "sizes of wires, the contact family of each cavity and its range",
    source: "the range of the contact in hand, as its maker gives it; a gauge may pass it by 5 % (our own)",
    rests_on: &[
        (Kind::Wire, &["area_mm2", "size_written", "from", "to"]),
        (Kind::Cavity, &["contact"]),
        (Kind::ContactFamily, &["least_mm2", "most_mm2"]),
    ],
    reads: &[(Kind::Wire, &["area_mm2", "size_written"])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for connector in book.all::<Connector>().values() {
        let wired = book.index().cavities_of.get(&connector.id).into_iter().flatten();
        let bare: Vec<Id<Cavity>> = wired
            .filter_map(|id| book.get(*id))
            .filter(|c: &&Cavity| c.decision == Decision::Wired && c.contact.is_none())
            .map(|c| c.id)
            .collect();
        if !bare.is_empty() {
            let ask = Ask::all(bare, &fields::CAVITY_CONTACT);
            out.cannot(
                CHECK.name,
                connector.id,
                "the contact family of wired cavities",
                [ask],
            );
        }
    }
    for wire in book.all::<Wire>().values() {
        let Some(size) = size_of(wire) else { continue };
        for (cavity, family) in families(book, wire) {
            let (Some(least), Some(most)) = (family.least_mm2, family.most_mm2) else {
                let asks =
                    [&fields::CONTACT_LEAST_MM2, &fields::CONTACT_MOST_MM2].map(|f| Ask::of(family.id, f));
                out.cannot(
                    CHECK.name,
                    family.id,
                    "the thinnest and thickest wire it takes",
                    asks,
                );
                continue;
            };
            if takes(family, size.area_mm2()) {
                continue;
            }
            let thick = size.area_mm2() > most;
            let sentence = format!(
                "{} at {}: {size} is too {} for contact {}, which takes {} to {} mm².",
                wire.label,
                book.cavity_name(cavity),
                if thick { "thick" } else { "thin" },
                family.label,
                number(least),
                number(most),
            );
            let limit = if thick { most } else { least };
            out.find(
                Finding::new(CHECK.name, Level::Stop, wire.id, sentence)
                    .with([cavity])
                    .figure(super::Figure::against("size", size.area_mm2(), limit, "mm²"))
                    .matters("A crimp on the wrong size pulls out or breaks strands; it passes a continuity test and fails on the road.")
                    .source(CHECK.source),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{
        model::{Cavity, ContactFamily},
        testing::Bench,
    };

    fn bench(area_mm2: f64) -> (Bench, crate::model::Id<ContactFamily>) {
        let mut bench = Bench::new();
        let family = bench.contact_family("S", 0.35, 0.5);
        bench.wire("W45", "MC-A17", "SP7", area_mm2, 1.0);
        let cavity = bench.cavity("MC-A", "17");
        bench.edit(cavity, |c: &mut Cavity| c.contact = Some(family));
        (bench, family)
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("contact-size").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn too_thick_and_too_thin_are_told_apart() {
        assert_eq!(
            found(&bench(0.75).0),
            ["W45 at MC-A17: 0.75 mm² is too thick for contact S, which takes 0.35 to 0.5 mm²."]
        );
        assert!(found(&bench(0.22).0)[0].contains("too thin"));
    }

    #[test]
    fn what_fits_is_silent_and_so_is_a_gauge_at_the_edge() {
        assert_eq!(found(&bench(0.5).0), [""; 0]);
        assert_eq!(found(&bench(0.518).0), [""; 0]);
    }

    #[test]
    fn a_contact_without_its_range_cannot_be_checked() {
        let (mut bench, family) = bench(0.75);
        bench.edit(family, |f: &mut ContactFamily| f.most_mm2 = None);
        let see = bench.snapshot();
        let report = run_without_mends(&see);
        let asked: Vec<String> = report
            .cannot_check
            .iter()
            .map(|c| c.sentence(see.book()))
            .collect();
        assert!(
            asked
                .iter()
                .any(|a| a.contains("thickest wire") && a.contains("contact family S")),
            "{asked:?}"
        );
        assert_eq!(found(&bench), [""; 0]);
    }
}
