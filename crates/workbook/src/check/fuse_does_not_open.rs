//! A fault at the far end of a wire that does not open its fuse in time.

use crimpbook_core::fuse::{FarEnd, Grade, far_end};

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::wire_at,
        words::{number, sources, time},
    },
};
use crate::{
    analysis::{
        Snapshot,
        protect::{Trial, beneath, opens_at_once},
    },
    model::Kind,
};

pub(super) static CHECK: Check = Check {
    name: "fuse-does-not-open",
    what: "a short at the far end of each wire opens its fuse before the wire is hurt, or the wire bears it for ever",
    inputs: "sources with their resistance, sizes and lengths, contacts, chassis, fuse kinds, ambient",
    source: "time gates of ISO 8820 (from memory; the data sheet of the fuse in hand wins), wire heating by two masses",
    rests_on: &[
        (Kind::Fuse, &["rating_a", "kind"]),
        (
            Kind::Wire,
            &["area_mm2", "size_written", "length_m", "from", "to", "bundle"],
        ),
    ],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for zone in &see.protection().zones {
        // What is missing is asked for by the check of the wires beneath a fuse.
        let (Some(fuse), Some(beneath)) = (book.get(zone.fuse), beneath(see, zone, &Trial::default())) else {
            continue;
        };
        let mut worst: Vec<(usize, FarEnd)> = beneath
            .wires
            .iter()
            .zip(&beneath.places)
            .filter(|(wire, _)| !opens_at_once(&beneath, wire))
            .map(|(wire, place)| (*place, far_end(&beneath.fuse, wire)))
            .filter(|(_, verdict)| matches!(verdict.grade, Grade::Warning | Grade::Stop))
            .collect();
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
        out.find(
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
                .mend(super::Mend::words(
                    "a thicker or shorter wire, a lower fuse, or one in line where the wire gets thin",
                ))
                .source(sources(&verdict.basis)),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn found(rating_a: f64, area_mm2: f64, length_m: f64) -> Vec<String> {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("PB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench.terminal("PB case");
        let fuse = bench.fuse_way("F1", rating_a, "BP", "PB-A1");
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        bench.wire("W1", "PB-A1", "XA-A1", area_mm2, length_m);
        let report = run_without_mends(&bench.snapshot());
        report
            .of("fuse-does-not-open")
            .map(|f| f.sentence.clone())
            .collect()
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
