//! A wire between a source and the first fuse.

use crimpbook_core::{fuse::CONTINUOUS_SHARE, tables::fuses::ratings};

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        contacts::{thicker_mends, wire_at},
        facts::{Fact, ask},
        words::number,
    },
};
use crate::{
    analysis::{Snapshot, protect::wire_below, suppose::OPENS_AT},
    circuit::core_kind,
    model::{End, Fuse, FuseKind, Id, Kind, Part, PartKind, Wire},
};

/// Length that a wire may go without a fuse, m (common practice, no source).
const BARE_M: f64 = 0.2;
/// Length that no sleeve makes good, m: 40 in.
const BARE_SLEEVED_M: f64 = 1.016;

pub(super) static CHECK: Check = Check {
    name: "unfused-wire",
    what: "no wire runs far from a source before its first fuse, and what a source limits by itself its wires bear",
    inputs: "sources, wires with their lengths, and size, class and zone where a source limits itself, fuse ways and fuses in line with their distance",
    source: "0.2 m by common practice, no source; 40 in if sleeved: 33 CFR 183.455(b), read in a reprint (a rule for boats, held against here)",
    rests_on: &[(
        Kind::Wire,
        &[
            "length_m",
            "inline_fuse",
            "from",
            "to",
            "area_mm2",
            "size_written",
        ],
    )],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    for (at, feed) in see.protection().wires.iter().enumerate() {
        let (Some(feed), Some(wire)) = (feed, wire_at(see, at)) else {
            continue;
        };
        let bare_m = match (feed.limited_a, feed.fuse, feed.before) {
            (None, None, _) => {
                ask(see, CHECK.name, std::iter::once(at), &[Fact::Length], out);
                wire.length_m
            }
            (None, Some(_), None) if wire.inline_fuse.is_some() => Some(feed.bare_m),
            _ => None,
        };
        if let Some(bare_m) = bare_m.filter(|m| *m > BARE_M) {
            let end = if feed.enters_from { wire.from } else { wire.to };
            let sentence = format!(
                "{} runs {} m from {} without a fuse; at most {} m is usual.",
                wire.label,
                number(bare_m),
                see.book().end_name(end),
                number(BARE_M),
            );
            let level = if bare_m > BARE_SLEEVED_M || feed.fuse.is_none() {
                Level::Stop
            } else {
                Level::Warning
            };
            let finding = finding(level, wire.id, sentence).mend(Mend::words(in_line(see, at, wire, end)));
            out.find(finding.figure(Figure::against("length without a fuse", bare_m, BARE_M, "m")));
        }
        // Fed by a source that limits its current: the wire has to bear that for ever.
        if let (Some(limit_a), None) = (feed.limited_a, feed.fuse) {
            bears(see, at, wire, limit_a, out);
        }
    }
    // The other end of a wire between two sources: what the limited one gives comes without a fuse as well.
    for (place, run) in see.wiring().parts.iter().enumerate() {
        let Some(PartKind::Source {
            limit_a: Some(limit_a),
            ..
        }) = see.book().get(run.part).map(|p: &Part| &p.kind)
        else {
            continue;
        };
        for (at, wire_run) in see.wiring().wires.iter().enumerate() {
            let here = run
                .ends
                .first()
                .is_some_and(|plus| [wire_run.from, wire_run.to].contains(plus));
            if !here {
                continue;
            }
            let feed = see.protection().wires.get(at).copied().flatten();
            let own = feed.is_some_and(|f| f.source == place);
            if let Some(wire) = wire_at(see, at).filter(|_| !own) {
                bears(see, at, wire, *limit_a, out);
            }
        }
    }
}

fn bears(see: &Snapshot, at: usize, wire: &Wire, limit_a: f64, out: &mut Out) {
    let Some(below) = wire_below(see, at, None) else {
        let facts = [Fact::Size, Fact::Class, Fact::Ambient];
        ask(see, CHECK.name, std::iter::once(at), &facts, out);
        return;
    };
    let allowed_a = below.heat.allowed_current_a(below.limits.class_c);
    if limit_a <= allowed_a {
        return;
    }
    let sentence = format!(
        "{} has no fuse towards a source that gives {} A; it bears {} A for ever.",
        wire.label,
        number(limit_a),
        number(allowed_a),
    );
    let finding = finding(Level::Stop, wire.id, sentence).figure(Figure::against(
        "current of the source",
        limit_a,
        allowed_a,
        "A",
    ));
    let bears = |area_mm2: f64| {
        let below = wire_below(see, at, Some(area_mm2));
        below.is_some_and(|below| below.heat.allowed_current_a(below.limits.class_c) >= limit_a)
    };
    let mut proposals = thicker_mends(see, wire, bears);
    let otherwise = || Mend::words("no standard size bears it: a fuse near that source");
    proposals.otherwise = proposals.otherwise.or_else(|| Some(otherwise()));
    out.find_with(finding, proposals);
}

/// Which fuse the wire bears near an end. To set one is a person's work: it is told, never done.
fn in_line(see: &Snapshot, at: usize, wire: &Wire, end: End) -> String {
    let place = format!("within {} m of {}", number(BARE_M), see.book().end_name(end));
    let Some(below) = wire_below(see, at, None) else {
        return format!(
            "a fuse {place}; which rating the wire bears cannot be told: size, class or zone is missing"
        );
    };
    let allowed_a = below.heat.allowed_current_a(below.limits.class_c);
    let runs_a = see.states().iter().map(|of| of.operated.wire_a(at).abs());
    let runs_a = runs_a.fold(0.0, f64::max);
    let fuse: Option<&Fuse> = wire
        .inline_fuse
        .as_ref()
        .and_then(|inline| see.book().get(inline.fuse));
    let kinds = fuse.map_or_else(|| FuseKind::ALL.to_vec(), |fuse| vec![fuse.kind]);
    let bears = |rating_a: f64| OPENS_AT * rating_a <= allowed_a;
    let carries = |rating_a: f64| runs_a <= CONTINUOUS_SHARE * rating_a;
    let all = kinds
        .into_iter()
        .flat_map(|kind| ratings(core_kind(kind)))
        .map(|row| row.rating_a);
    let fitting = all.filter(|rating| bears(*rating)).max_by(f64::total_cmp);
    match (fuse, fitting) {
        (Some(fuse), _) if bears(fuse.rating_a) => format!("{} {place}", fuse.label),
        (_, Some(rating_a)) if carries(rating_a) => {
            format!(
                "a fuse of at most {} A {place}, which the wire bears for ever",
                number(rating_a)
            )
        }
        _ => format!(
            "a fuse {place} and a thicker wire: {} A run, and this one bears no fuse that carries them",
            number(runs_a)
        ),
    }
}

fn finding(level: Level, wire: Id<Wire>, sentence: String) -> Finding {
    Finding::new(CHECK.name, level, wire, sentence)
        .matters("A chafe between source and fuse burns until the source is empty.")
        .source(CHECK.source)
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn bench(distance_m: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        bench.battery();
        let wire = bench.wire("W01", "BP", "PB-A1", 10.0, 1.1);
        if let Some(from_end_m) = distance_m {
            let fuse = bench.fuse("F0", 60.0);
            bench.edit(wire, |w: &mut Wire| {
                w.inline_fuse = Some(InlineFuse { fuse, from_end_m })
            });
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("unfused-wire")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    /// What is said to be the way out.
    fn mend(bench: &Bench) -> String {
        let report = run_without_mends(&bench.snapshot());
        let first = report.of("unfused-wire").next().and_then(|f| f.mend.clone());
        first.map(|mend| mend.words).unwrap_or_default()
    }

    #[test]
    fn the_way_out_names_a_rating_that_the_wire_bears() {
        let mut unfused = bench(None);
        assert!(
            mend(&unfused).contains("cannot be told: size, class or zone is missing"),
            "{}",
            mend(&unfused)
        );
        let (zone, unit) = (unfused.zone("bay", 60.0), unfused.unit("PB"));
        unfused.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        let words = mend(&unfused);
        let rating: f64 = words
            .strip_prefix("a fuse of at most ")
            .and_then(|rest| rest.split(' ').next()?.parse().ok())
            .unwrap_or_else(|| panic!("{words}"));
        // 10 mm² of PVC (105 °C at most) in 60 °C air bear some 60 to 90 A for ever; 1.35 times the fuse stays below.
        assert!((30.0..=70.0).contains(&rating), "{words}");
        assert!(
            words.ends_with("within 0.2 m of BP, which the wire bears for ever"),
            "{words}"
        );
        let far = bench(Some(0.5));
        assert!(!mend(&far).is_empty());
    }

    #[test]
    fn a_wire_without_a_length_cannot_be_checked() {
        let mut bench = bench(None);
        let wire = bench.named::<Wire>("W01");
        bench.edit(wire, |w: &mut Wire| w.length_m = None);
        assert_eq!(found(&bench), []);
        assert_eq!(bench.missing_for("unfused-wire"), ["the length of W01"]);
    }

    #[test]
    fn no_fuse_is_a_stop_a_far_one_a_warning_a_near_one_fine() {
        assert_eq!(
            found(&bench(None)),
            [(
                Level::Stop,
                "W01 runs 1.1 m from BP without a fuse; at most 0.2 m is usual.".to_owned()
            )]
        );
        assert_eq!(found(&bench(Some(0.5)))[0].0, Level::Warning);
        assert_eq!(found(&bench(Some(0.15))), []);
    }

    #[test]
    fn a_limited_source_needs_a_wire_that_bears_its_limit() {
        let bench = |limit_a| {
            let mut bench = bench(Some(0.15));
            let converter = PartKind::Source {
                volts_v: Some(13.8),
                ohm: 0.02,
                limit_a: Some(limit_a),
                switched: false,
                when: String::new(),
            };
            bench.part("converter", converter, &["XD", "BN"]);
            bench.wire("W03", "XD", "XA-A1", 2.5, 1.0);
            let (zone, unit) = (bench.zone("wet", 60.0), bench.unit("XA"));
            bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
            bench
        };
        assert_eq!(found(&bench(10.0)), []);
        let one = found(&bench(60.0));
        assert!(
            one[0]
                .1
                .starts_with("W03 has no fuse towards a source that gives 60 A"),
            "{one:?}"
        );
    }
}
