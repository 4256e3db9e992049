//! A fuse beside a source that gives too little ever to open it.

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        facts::ask_holder,
        words::{number, sources},
    },
};
use crate::{
    analysis::{Snapshot, protect::core_fuse},
    model::{Kind, Part, PartKind},
};

pub(super) static CHECK: Check = Check {
    name: "fuse-never-opens",
    what: "it is said of each fuse next to a current-limited source whether that source can ever open it",
    inputs: "sources with their limits, fuses next to them with their ratings and kinds, the ambient of their holders",
    source: "135 % gate of ISO 8820 (from memory; the data sheet of the fuse in hand wins)",
    rests_on: &[
        (Kind::Fuse, &["rating_a", "kind"]),
        (Kind::Part, &["kind", "ends"]),
    ],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let (book, protection) = (see.book(), see.protection());
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = book.get(run.part) else { continue };
        let PartKind::Source {
            limit_a: Some(limit_a),
            ..
        } = part.kind
        else {
            continue;
        };
        let Some(plus) = run.ends.first() else { continue };
        for id in see.edges().first_fuses(see, *plus) {
            let (Some(fuse), Some(zone)) = (book.get(id), protection.zone(id)) else {
                continue;
            };
            let Some(core) = core_fuse(see, zone, fuse) else {
                ask_holder(see, CHECK.name, fuse, out);
                continue;
            };
            let opens_a = core.opens_from_a();
            if limit_a >= opens_a {
                continue;
            }
            let only = zone.source == at;
            out.find(finding(part, fuse, limit_a, opens_a, only).source(sources(core.band.basis())));
        }
    }
}

fn finding(part: &Part, fuse: &crate::model::Fuse, limit_a: f64, opens_a: f64, only: bool) -> Finding {
    let beyond = if only {
        "nothing else feeds it, so that no fault ever does"
    } else {
        "only what feeds it from its other side does"
    };
    let sentence = format!(
        "{} {} A is never opened by {}, which gives {} A at most; an opening is promised from {} A: {beyond}.",
        fuse.label,
        number(fuse.rating_a),
        part.label,
        number(limit_a),
        number(opens_a),
    );
    // Whether the wires bear the limit for ever is a matter of the checks of wires.
    let level = if only { Level::Warning } else { Level::Note };
    Finding::new(CHECK.name, level, fuse.id, sentence)
        .with([part.id])
        .figure(Figure::against("the source gives", limit_a, opens_a, "A"))
        .matters("Until somebody switches the source off, a fault goes on; its wires have to bear the limit for ever.")
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    #[test]
    fn without_the_warmth_of_the_holder_it_cannot_be_checked() {
        let mut bench = bench(32.0, true);
        let fuse = bench.named::<Fuse>("F13");
        bench.edit(fuse, |f: &mut Fuse| f.zone = None);
        let report = run_without_mends(&bench.snapshot());
        assert_eq!(report.of("fuse-never-opens").count(), 0);
        assert_eq!(
            bench.missing_for("fuse-never-opens"),
            ["the zone of its holder, with its ambient"]
        );
    }

    fn bench(limit_a: f64, battery: bool) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.terminal("BN");
        if battery {
            bench.battery();
        }
        let converter = PartKind::Source {
            volts_v: Some(13.8),
            ohm: 0.02,
            limit_a: Some(limit_a),
            switched: false,
            when: String::new(),
        };
        bench.part("converter", converter, &["DS", "BN"]);
        let wire = bench.wire("W03", "DS", if battery { "BP" } else { "PB-A1" }, 10.0, 1.6);
        let (fuse, zone) = (bench.fuse("F13", 60.0), bench.zone("cabin", 40.0));
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        bench.edit(wire, |w: &mut Wire| {
            w.inline_fuse = Some(InlineFuse {
                fuse,
                from_end_m: 1.55,
            });
        });
        bench
    }

    fn found(limit_a: f64, battery: bool) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench(limit_a, battery).snapshot());
        let found = report.of("fuse-never-opens");
        found.map(|f| (f.level, f.sentence.clone())).collect()
    }

    /// 1.35 × 60 A = 81 A.
    #[test]
    fn a_converter_of_32_a_never_opens_60_a_and_one_of_100_a_does() {
        let both = found(32.0, true);
        assert_eq!(both.len(), 1, "{both:?}");
        assert_eq!(both[0].0, Level::Note);
        assert!(
            both[0]
                .1
                .starts_with("F13 60 A is never opened by converter, which gives 32 A at most; an opening is promised from 81 A"),
            "{both:?}"
        );
        assert_eq!(found(100.0, true), []);
        let alone = found(32.0, false);
        assert_eq!(alone.len(), 1, "{alone:?}");
        assert_eq!(alone[0].0, Level::Warning);
    }
}
