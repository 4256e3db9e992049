//! A fault at the far end of a wire that does not open its fuse in time.

use crimpbook_core::fuse::{FarEnd, Grade, far_end};

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::wire_at,
        facts::{Fact, ask, ask_holder},
        fuse_mend,
        words::{number, sources, time},
    },
};
use crate::{
    analysis::{
        Snapshot,
        protect::{Beneath, FuseZone, Trial, beneath, opens_at_once},
    },
    model::Kind,
};

pub(super) static CHECK: Check = Check {
    name: "fuse-does-not-open",
    what: "a short at the far end of each wire opens its fuse before the wire is hurt, or the wire bears it for ever",
    inputs: "sources with their resistance, sizes and lengths, contacts, chassis, fuse kinds, insulation class, zones with their ambient",
    source: "time gates of ISO 8820 (from memory; the data sheet of the fuse in hand wins), wire heating by two masses",
    rests_on: &[
        (Kind::Fuse, &["rating_a", "kind"]),
        (
            Kind::Wire,
            &["area_mm2", "size_written", "length_m", "from", "to", "bundle"],
        ),
    ],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let (book, protection) = (see.book(), see.protection());
    for zone in &protection.zones {
        let wires = protection
            .wires_above(zone)
            .into_iter()
            .chain(zone.wires.iter().copied());
        ask(see, CHECK.name, wires, &[Fact::Size, Fact::Length], out);
        ask(
            see,
            CHECK.name,
            zone.wires.iter().copied(),
            &[Fact::Class, Fact::Ambient],
            out,
        );
        let Some(fuse) = book.get(zone.fuse) else {
            continue;
        };
        let Some(beneath) = beneath(see, zone, &Trial::default()) else {
            ask_holder(see, CHECK.name, fuse, out);
            continue;
        };
        let mut worst = failing(see, &beneath);
        worst.sort_by(|a, b| {
            b.1.grade
                .cmp(&a.1.grade)
                .then(a.1.multiple.total_cmp(&b.1.multiple))
        });
        let Some((place, verdict)) = worst.first() else {
            continue;
        };
        let Some(wire) = wire_at(see, *place) else {
            continue;
        };
        let bears_s = verdict.wire.map_or(f64::NAN, |b| b.time_s);
        let sentence = format!(
            "{} {} A may stay whole with {} shorted at its far end: {} A flow, the fuse may take {}, the wire bears {}.",
            fuse.label,
            number(fuse.rating_a),
            wire.label,
            number(verdict.fault_a),
            time(verdict.fuse_longest_s),
            time(bears_s),
        );
        let level = if verdict.grade == Grade::Stop {
            Level::Stop
        } else {
            Level::Warning
        };
        let others = worst
            .iter()
            .filter_map(|(place, _)| wire_at(see, *place))
            .map(|w| w.id);
        out.find_with(
            Finding::new(CHECK.name, level, fuse.id, sentence)
                .with(others)
                .figure(Figure::against(
                    "the fuse may take",
                    verdict.fuse_longest_s,
                    bears_s,
                    "s",
                ))
                .figure(Figure::plain(
                    "fault current at the far end",
                    verdict.fault_a,
                    "A",
                ))
                .figure(Figure::plain("times the rating", verdict.multiple, ""))
                .matters(
                    "A short that does not open its fuse heats the whole loom until something burns through.",
                )
                .source(sources(&verdict.basis)),
            fuse_mend::proposals(see, zone, fuse, &bad),
        );
    }
}

/// Wires whose far end shorted neither opens the fuse in time nor leaves them whole. Where the ohms of a wire are not
/// known, so is its fault's current.
fn failing(see: &Snapshot, beneath: &Beneath) -> Vec<(usize, FarEnd)> {
    let known = |at: usize| {
        let run = see.wiring().wires.get(at);
        run.is_some_and(|run| run.conductor_ohm.is_some())
    };
    let wires = beneath.wires.iter().zip(&beneath.places);
    wires
        .filter(|(_, place)| known(**place))
        .filter(|(wire, _)| !opens_at_once(beneath, wire))
        .map(|(wire, place)| (*place, far_end(&beneath.fuse, wire)))
        .filter(|(_, verdict)| matches!(verdict.grade, Grade::Warning | Grade::Stop))
        .collect()
}

/// The same with other ratings and sizes.
fn bad(see: &Snapshot, zone: &FuseZone, trial: &Trial) -> Option<Vec<usize>> {
    let beneath = beneath(see, zone, trial)?;
    Some(
        failing(see, &beneath)
            .into_iter()
            .map(|(place, _)| place)
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::super::{run, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn bench(rating_a: f64, area_mm2: f64, length_m: f64) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("PB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench.terminal("PB case");
        let fuse = bench.fuse_way("F1", rating_a, "BP", "PB-A1");
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        bench.wire("W1", "PB-A1", "XA-A1", area_mm2, length_m);
        bench
    }

    fn found(rating_a: f64, area_mm2: f64, length_m: f64) -> Vec<String> {
        let report = run_without_mends(&bench(rating_a, area_mm2, length_m).snapshot());
        report
            .of("fuse-does-not-open")
            .map(|f| f.sentence.clone())
            .collect()
    }

    #[test]
    fn without_the_length_or_the_zone_it_cannot_be_checked() {
        let mut bench = bench(20.0, 0.5, 8.0);
        let wire = bench.named::<Wire>("W1");
        bench.edit(wire, |w: &mut Wire| w.length_m = None);
        let report = run_without_mends(&bench.snapshot());
        assert_eq!(report.of("fuse-does-not-open").count(), 0);
        // The bench tells the zone of one end only; which end is hotter is asked as well.
        assert_eq!(
            bench.missing_for("fuse-does-not-open"),
            ["the length of W1", "the zone it sits in"]
        );
    }

    /// The mend that is offered ends the finding, and nothing smaller or less would.
    #[test]
    fn the_mend_is_the_least_that_ends_it() {
        let report = run(&bench(20.0, 0.5, 8.0).snapshot());
        let finding = report.of("fuse-does-not-open").next().unwrap();
        let mend = finding.mend.clone().unwrap();
        assert!(!mend.changes.is_empty(), "{}", mend.words);
        let wire = mend.changes.iter().find_map(|change| match &change.after {
            Some(Record::Wire(wire)) => wire.area_mm2,
            _ => None,
        });
        let fuse = mend.changes.iter().find_map(|change| match &change.after {
            Some(Record::Fuse(fuse)) => Some(fuse.rating_a),
            _ => None,
        });
        assert_eq!(
            found(fuse.unwrap_or(20.0), wire.unwrap_or(0.5), 8.0),
            [""; 0],
            "{}",
            mend.words
        );
        if let Some(area_mm2) = wire {
            let standard = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0];
            let thinner = standard.into_iter().rev().find(|size| *size < area_mm2).unwrap();
            assert_ne!(
                found(fuse.unwrap_or(20.0), thinner, 8.0),
                [""; 0],
                "{thinner} was enough"
            );
        }
    }

    /// 8 m of 0.5 mm² are 0.3 Ω cold: some 39 A, 2 times a 20 A fuse, which may then take 5 s.
    #[test]
    fn a_long_thin_wire_under_a_big_fuse_is_found() {
        assert!(
            found(20.0, 0.5, 8.0)[0].starts_with("F1 20 A may stay whole with W1 shorted at its far end")
        );
        assert_eq!(found(5.0, 0.5, 8.0), [""; 0]);
        assert_eq!(found(20.0, 4.0, 8.0), [""; 0]);
    }
}
