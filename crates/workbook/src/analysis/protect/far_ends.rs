//! The far-end fault of every wire beneath a fuse: what flows, when the fuse has opened, what the wire bears.

use crimpbook_core::fuse::{FarEnd, Grade, far_end};

use super::{core_fuse, wire_below};
use crate::{
    analysis::Snapshot,
    book::natural,
    model::{Fuse, Id, Wire},
};

/// One wire's far-end fault.
#[derive(Debug, Clone, PartialEq)]
pub struct FarRow {
    /// The wire.
    pub wire: Id<Wire>,
    /// The fuse that protects it.
    pub fuse: Id<Fuse>,
    /// The verdict, or what is missing for it.
    pub verdict: Result<FarEnd, String>,
}

/// Every wire beneath a fuse, the gravest first, then as fuses and wires are called.
pub fn far_ends(see: &Snapshot) -> Vec<FarRow> {
    let book = see.book();
    let mut rows = Vec::new();
    for zone in &see.protection().zones {
        let core = book.get(zone.fuse).and_then(|fuse| core_fuse(see, zone, fuse));
        for at in &zone.wires {
            let Some(run) = see.wiring().wires.get(*at) else {
                continue;
            };
            let verdict = match (&core, wire_below(see, *at, None)) {
                (Some(core), Some(below)) => Ok(far_end(core, &below)),
                (None, _) => Err(format!("the ambient of {}'s holder", book.label_of(zone.fuse))),
                (_, None) => Err("its size, insulation class or ambient".to_owned()),
            };
            rows.push(FarRow {
                wire: run.wire,
                fuse: zone.fuse,
                verdict,
            });
        }
    }
    rows.sort_by_cached_key(|row| {
        let grade = row.verdict.as_ref().map_or(Grade::CannotCheck, |v| v.grade);
        (
            std::cmp::Reverse(grade),
            natural(&book.label_of(row.fuse)),
            natural(&book.label_of(row.wire)),
        )
    });
    rows
}

#[cfg(test)]
mod tests {
    use crimpbook_core::fuse::FarEndOutcome;

    use super::*;
    use crate::{model::Unit, testing::Bench};

    #[test]
    fn a_fact_that_is_missing_is_named_and_the_gravest_comes_first() {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let fuse = bench.fuse_way("F1", 20.0, "BP", "PB-A1");
        bench.wire("W1", "PB-A1", "XA-A1", 4.0, 1.0);
        bench.wire("W2", "PB-A1", "XA-A2", 0.5, 8.0);
        let missing = far_ends(&bench.snapshot());
        assert!(
            missing
                .iter()
                .all(|row| row.verdict == Err("the ambient of F1's holder".to_owned()))
        );
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("PB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        let see = bench.snapshot();
        let told: Vec<(String, FarEndOutcome)> = far_ends(&see)
            .into_iter()
            .map(|row| (see.book().label_of(row.wire), row.verdict.unwrap().outcome))
            .collect();
        assert_eq!(
            told,
            [
                ("W2".to_owned(), FarEndOutcome::WireIsHurt),
                ("W1".to_owned(), FarEndOutcome::OpensInTime)
            ]
        );
    }
}
