//! A fuse that carries too much of its rating all the time.

use crimpbook_core::fuse::{Grade, running};

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        facts::ask_holder,
        words::{number, sources},
    },
};
use crate::{
    analysis::{Snapshot, protect::core_fuse},
    model::Kind,
};

pub(super) static CHECK: Check = Check {
    name: "fuse-running",
    what: "a fuse carries at most 75 % of its rating all the time, less where it is warm",
    inputs: "operating states, the rating, the ambient of the holder",
    source: "common practice, no source: three makers' application notes say the same",
    rests_on: &[(Kind::Fuse, &["rating_a", "zone", "ambient_factor"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for zone in &see.protection().zones {
        let Some(fuse) = book.get(zone.fuse) else { continue };
        let Some(core) = core_fuse(see, zone, fuse) else {
            ask_holder(see, CHECK.name, fuse, out);
            continue;
        };
        let most = see
            .states()
            .iter()
            .map(|of| (zone.current_a(of), of))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((current_a, state)) = most else { continue };
        let verdict = running(&core, current_a);
        let level = match verdict.grade {
            Grade::Good | Grade::CannotCheck => continue,
            Grade::Note => Level::Note,
            Grade::Warning | Grade::Stop => Level::Warning,
        };
        let sentence = format!(
            "{} {} A carries {} A in {}; {} A is what it may carry all the time.",
            fuse.label,
            number(fuse.rating_a),
            number(current_a),
            book.label_of(state.state),
            number(verdict.allowed_a),
        );
        out.find(
            Finding::new(CHECK.name, level, fuse.id, sentence)
                .figure(Figure::against(
                    "current all the time",
                    current_a,
                    verdict.allowed_a,
                    "A",
                ))
                .figure(Figure::plain(
                    "rating in the warmth around it",
                    verdict.rerated_a,
                    "A",
                ))
                .matters("A fuse that runs near its rating ages and opens one day without a fault.")
                .source(sources(&verdict.basis)),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(current_a: f64, zone: bool) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        bench.fuse_way("F4", 15.0, "BP", "PB-A16");
        let part = bench.named::<Part>("F4 way");
        let unit = bench.unit("PB");
        bench.edit(part, |p: &mut Part| p.unit = unit);
        bench.load("pump", current_a, &["PB-A16", "BN"]);
        if zone {
            let zone = bench.zone("cabin", 40.0);
            bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        }
        bench
    }

    /// 0.75 × 15 A × (1 − 0.0015 × 15) = 11.0 A.
    #[test]
    fn three_quarters_of_the_rating_less_for_warmth() {
        let found = |a| {
            run_without_mends(&bench(a, true).snapshot())
                .of("fuse-running")
                .map(|f| f.figures[0].clone())
                .next()
        };
        assert_eq!(found(10.0), None);
        let over = found(12.0).unwrap();
        assert!(
            (over.limit.unwrap() - 10.997).abs() < 1e-3 && (over.value - 12.0).abs() < 1e-6,
            "{over:?}"
        );
    }

    #[test]
    fn without_the_holders_ambient_it_cannot_be_checked() {
        let see = bench(12.0, false).snapshot();
        let report = run_without_mends(&see);
        assert_eq!(report.of("fuse-running").count(), 0);
        assert!(
            report
                .cannot_check
                .iter()
                .any(|c| c.checks.contains(&"fuse-running"))
        );
    }
}
