//! A fuse that may open together with the one beneath it.

use crimpbook_core::fuse::selectivity;

use super::{
    Check, Figure, Finding, Level, Mend, Out, Proposals,
    common::{
        facts::{Fact, ask, ask_holder},
        fuse_mend,
        words::{number, sources},
    },
};
use crate::{
    analysis::{Snapshot, protect::core_fuse},
    model::Kind,
};

pub(super) static CHECK: Check = Check {
    name: "fuse-selectivity",
    what: "a fault beneath a fuse opens that fuse alone, not the one above it",
    inputs: "ratings and kinds of both fuses, the fault current at the lower one: sizes and lengths of what leads there, the ambient of the holders",
    source: "the upper fuse's shortest time above the lower one's longest, from the time gates of ISO 8820 (from memory; the data sheet of the fuse in hand wins)",
    rests_on: &[(Kind::Fuse, &["rating_a", "kind"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let protection = see.protection();
    for zone in &protection.zones {
        let above = zone.above.and_then(|id| protection.zone(id));
        let (Some(above), Some(lower)) = (above, book.get(zone.fuse)) else {
            continue;
        };
        let Some(upper) = book.get(above.fuse) else {
            continue;
        };
        // What leads to the lower fuse limits the fault at it; without its ohms the fault would come out too big.
        let feed = protection.wires_above(zone);
        ask(
            see,
            CHECK.name,
            feed.into_iter(),
            &[Fact::Size, Fact::Length],
            out,
        );
        let cores = [(above, upper), (zone, lower)].map(|(zone, fuse)| {
            let core = core_fuse(see, zone, fuse);
            if core.is_none() {
                ask_holder(see, CHECK.name, fuse, out);
            }
            core
        });
        let ([Some(upper_core), Some(lower_core)], Some(fault_a)) = (cores, protection.prospective_a(zone))
        else {
            continue;
        };
        let verdict = selectivity(&upper_core, &lower_core, fault_a);
        let Some(up_to_a) = verdict.up_to_a else { continue };
        let sentence = format!(
            "{} {} A above {} {} A: alone it opens only up to {} A of {} A that a fault can draw.",
            upper.label,
            number(upper.rating_a),
            lower.label,
            number(lower.rating_a),
            number(up_to_a),
            number(fault_a),
        );
        let alone = |rating_a: f64| {
            let mut tried = lower_core.clone();
            tried.rating_a = rating_a;
            selectivity(&upper_core, &tried, fault_a).up_to_a.is_none()
        };
        let (mends, ask) = fuse_mend::lowered(see, zone, lower, &alone);
        let otherwise = match ask {
            Some(load) => format!(
                "{} lower, once the inrush of {load} is known; or the branch fed from above {}",
                lower.label, upper.label
            ),
            None => format!(
                "no lower standard rating carries the branch and opens alone: feed it from above {}, or lay less on it",
                upper.label
            ),
        };
        out.find_with(
            Finding::new(CHECK.name, Level::Warning, lower.id, sentence)
                .with([upper.id])
                .figure(Figure::against(
                    "the lower fuse opens alone up to",
                    up_to_a,
                    fault_a,
                    "A",
                ))
                .matters("When the upper fuse opens as well, all that it feeds is lost with one branch.")
                .source(sources(&verdict.basis)),
            Proposals {
                mends,
                otherwise: Some(Mend::words(otherwise)),
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{run, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn bench(upper_a: f64, lower_a: f64) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("PB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench.terminal("PB rail");
        bench.fuse_way("F0", upper_a, "BP", "PB rail");
        bench.fuse_way("F4", lower_a, "PB rail", "PB-A1");
        bench.wire("W1", "PB-A1", "XA-A1", 1.0, 1.0);
        bench
    }

    /// The wire that feeds the rail limits the fault at the lower fuse; so its length must be known.
    #[test]
    fn without_the_length_of_the_feed_or_the_warmth_of_the_holder_it_cannot_be_checked() {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        bench.terminal("PB rail");
        let feed = bench.wire("W1", "BP", "PB-A2", 4.0, 2.0);
        bench.fuse_way("F0", 10.0, "PB-A2", "PB rail");
        bench.fuse_way("F4", 7.5, "PB rail", "PB-A1");
        bench.wire("W2", "PB-A1", "XA-A1", 1.0, 1.0);
        bench.edit(feed, |w: &mut Wire| w.length_m = None);
        let report = run_without_mends(&bench.snapshot());
        assert_eq!(report.of("fuse-selectivity").count(), 0);
        let missing = bench.missing_for("fuse-selectivity");
        assert!(missing.iter().any(|m| m == "the length of W1"), "{missing:?}");
        assert!(
            missing
                .iter()
                .any(|m| m == "the zone of its holder, with its ambient"),
            "{missing:?}"
        );
    }

    fn found(upper_a: f64, lower_a: f64) -> Vec<String> {
        let report = run_without_mends(&bench(upper_a, lower_a).snapshot());
        report
            .of("fuse-selectivity")
            .map(|f| f.sentence.clone())
            .collect()
    }

    #[test]
    fn neighbouring_ratings_open_together_distant_ones_do_not() {
        assert_eq!(found(60.0, 5.0), [""; 0]);
        assert!(found(10.0, 7.5)[0].starts_with("F0 10 A above F4 7.5 A: alone it opens only up to"));
    }

    #[test]
    fn a_lower_rating_that_opens_alone_is_offered_and_a_higher_one_above_never() {
        let report = run(&bench(60.0, 50.0).snapshot());
        let finding = report.of("fuse-selectivity").next().unwrap();
        let mend = finding.mend.clone().unwrap();
        let lowered = mend.changes.iter().find_map(|change| match &change.after {
            Some(Record::Fuse(fuse)) => Some((fuse.label.clone(), fuse.rating_a)),
            _ => None,
        });
        let (label, rating_a) = lowered.unwrap_or_else(|| panic!("{}", mend.words));
        assert_eq!((label.as_str(), mend.changes.len()), ("F4", 1));
        assert!(rating_a < 50.0);
        assert_eq!(found(60.0, rating_a), [""; 0], "{}", mend.words);
    }
}
