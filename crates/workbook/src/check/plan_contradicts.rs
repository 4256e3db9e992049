//! What the plan says twice and not alike: decisions against wires, the fuse that was meant against the one traced, two
//! wires in one cavity, reserved colours.

use super::{Check, Finding, Level, Mend, Out, common::words::cavity as named, unfused_wire};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Colour, Decision, Fuse, Kind, Wire},
};

pub(super) static DECISION: Check = Check {
    name: "decision-against-wires",
    what: "a cavity decided as wired has one wire, one decided otherwise has none",
    inputs: "decisions, ends of wires",
    source: "common practice, no source: a crimp on two wires is no better than on the thinner one",
    rests_on: &[(Kind::Cavity, &["decision"])],
    reads: &[],
    find: decision,
};

pub(super) static FUSE: Check = Check {
    name: "fuse-not-as-meant",
    what: "the fuse that was meant for a wire is the one that the supply tree leads to",
    inputs: "the fuse typed at a wire, the supply tree",
    source: "traced from the sources",
    rests_on: &[(Kind::Wire, &["fuse", "from", "to"])],
    reads: &[],
    find: fuse,
};

pub(super) static COLOUR: Check = Check {
    name: "reserved-colour",
    what: "no control wire is green with yellow (protective earth) or orange (traction voltage)",
    inputs: "colours of wires",
    source: "IEC 60445 and ISO 6469-3 for the two colours (memory)",
    rests_on: &[(Kind::Wire, &["colour"])],
    reads: &[(Kind::Wire, &["colour"])],
    find: colour,
};

fn decision(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for cavity in book.all::<Cavity>().values() {
        let wires = book.index().wires_at_cavity.of(&cavity.id);
        let labels = || {
            let labels: Vec<String> = wires.iter().map(|(w, _)| book.label_of::<Wire>(*w)).collect();
            super::common::words::list(&labels)
        };
        let (level, what, mend) = match (cavity.decision, wires.len()) {
            (Decision::Wired, 0) => (
                Level::Warning,
                "is decided as wired, and no wire ends there".to_owned(),
                "add its wire, or decide again",
            ),
            (Decision::Wired | Decision::Bridged { .. }, 2..) => (
                Level::Stop,
                format!("has {} wires in one contact: {}", wires.len(), labels()),
                "join them in a splice and bring one wire",
            ),
            (Decision::Blank | Decision::Reserved | Decision::NotOurs, 1..) => (
                Level::Warning,
                format!(
                    "is decided as {}, and {} ends there",
                    cavity.decision.words(),
                    labels()
                ),
                "take the wire out, or decide again",
            ),
            _ => continue,
        };
        out.find(
            Finding::new(
                DECISION.name,
                level,
                cavity.id,
                format!("{} {what}.", named(book, cavity)),
            )
            .with(wires.iter().map(|(w, _)| *w))
            .matters("Whoever builds follows one of the two, whoever services the other.")
            .mend(Mend::words(mend))
            .source(DECISION.source),
        );
    }
}

fn fuse(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for (run, feed) in see.wiring().wires.iter().zip(&see.protection().wires) {
        let Some(wire) = book.get(run.wire) else { continue };
        let (Some(meant), Some(feed)) = (wire.fuse, feed) else {
            continue;
        };
        if feed.fuse == Some(meant) {
            continue;
        }
        let traced = feed
            .fuse
            .map_or_else(|| "none".to_owned(), |f| book.label_of::<Fuse>(f));
        let sentence = format!(
            "{} is meant to be under {}; the supply tree leads to {traced}.",
            wire.label,
            book.label_of(meant)
        );
        let finding = Finding::new(FUSE.name, Level::Warning, wire.id, sentence);
        // Without any fuse it is the wire's own finding that counts.
        let finding = if feed.fuse.is_none() {
            finding.follows(unfused_wire::CHECK.name, wire.id)
        } else {
            finding
        };
        out.find(
            finding
                .with([meant])
                .matters("The fuse legend lies: who pulls that fuse still finds the wire alive.")
                .mend(Mend::words("correct the fuse at the wire, or where it is fed"))
                .source(FUSE.source),
        );
    }
}

fn colour(see: &Snapshot, out: &mut Out) {
    for wire in see.book().all::<Wire>().values() {
        let Some(colour) = wire.colour else { continue };
        let both = [Some(colour.base), colour.tracer];
        let earth = both.contains(&Some(Colour::Green)) && both.contains(&Some(Colour::Yellow));
        let meaning = if earth {
            "protective earth"
        } else if colour.base == Colour::Orange {
            "traction voltage"
        } else {
            continue;
        };
        let sentence = format!(
            "{} is {}: that colour is kept for {meaning}.",
            wire.label,
            colour.words()
        );
        out.find(
            Finding::new(COLOUR.name, Level::Warning, wire.id, sentence)
                .matters("Somebody trusts the colour: touches it, or cuts it.")
                .mend(Mend::words("another colour"))
                .source(COLOUR.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn found(bench: &Bench, check: &str) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report.of(check).map(|f| (f.level, f.sentence.clone())).collect()
    }

    #[test]
    fn decisions_and_wires_have_to_agree() {
        let mut bench = Bench::new();
        bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        assert_eq!(found(&bench, "decision-against-wires"), []);
        bench.wire("W2", "SP2", "MC-A1", 0.5, 1.0);
        let two = found(&bench, "decision-against-wires");
        assert_eq!(
            two,
            [(
                Level::Stop,
                "MC-A1 has 2 wires in one contact: W1 and W2.".to_owned()
            )]
        );
        let cavity = bench.cavity("MC-A", "1");
        bench.edit(cavity, |c: &mut Cavity| c.decision = Decision::Blank);
        let blank = found(&bench, "decision-against-wires");
        assert_eq!(blank[0].1, "MC-A1 is decided as blank, and W1 and W2 ends there.");
        let lone = bench.cavity("MC-A", "2");
        bench.edit(lone, |c: &mut Cavity| c.decision = Decision::Wired);
        assert!(
            found(&bench, "decision-against-wires")
                .iter()
                .any(|f| f.1.starts_with("MC-A2 is decided as wired"))
        );
    }

    #[test]
    fn the_fuse_meant_is_held_against_the_one_traced() {
        let mut bench = Bench::new();
        bench.battery();
        let (right, wrong) = (bench.fuse_way("F1", 5.0, "BP", "PB-A1"), bench.fuse("F2", 5.0));
        let wire = bench.wire("W4", "PB-A1", "MC-A1", 0.5, 1.0);
        for (meant, count) in [(right, 0), (wrong, 1)] {
            bench.edit(wire, |w: &mut Wire| w.fuse = Some(meant));
            assert_eq!(found(&bench, "fuse-not-as-meant").len(), count);
        }
    }

    #[test]
    fn reserved_colours_are_found_whichever_way_round() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        for (colour, count) in [
            ("GN/YE", 1),
            ("YE/GN", 1),
            ("OG", 1),
            ("OG/WH", 1),
            ("GN/WH", 0),
            ("WH/OG", 0),
        ] {
            bench.edit(wire, |w: &mut Wire| w.colour = colour.parse().ok());
            assert_eq!(found(&bench, "reserved-colour").len(), count, "{colour}");
        }
    }
}
