//! Which changes the program offers to make by itself: those that can only make the plan safer.

use crate::{
    edit::Change,
    model::{Fuse, Record, Wire},
};

/// Whether these changes lower ratings of fuses and make wires thicker, and do nothing else. A raised rating, a decision
/// or a deletion is a person's to make.
pub(super) fn only_safer(changes: &[Change]) -> bool {
    !changes.is_empty() && changes.iter().all(is_safer)
}

fn is_safer(change: &Change) -> bool {
    match (&change.before, &change.after) {
        (Some(Record::Fuse(before)), Some(Record::Fuse(after))) => {
            // A data sheet's figures belong to the rating they were read for, so they may go with it.
            let same = Fuse {
                rating_a: before.rating_a,
                melting_a2s: before.melting_a2s,
                cold_ohm: before.cold_ohm,
                ..after.clone()
            };
            same == *before && after.rating_a < before.rating_a && after.rating_a > 0.0
        }
        (Some(Record::Wire(before)), Some(Record::Wire(after))) => {
            let same = Wire {
                area_mm2: before.area_mm2,
                size_written: before.size_written.clone(),
                size_table: before.size_table,
                ..after.clone()
            };
            let thicker = matches!((before.area_mm2, after.area_mm2), (Some(was), Some(is)) if is > was);
            same == *before && thicker
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{Cavity, Decision, End},
        testing::Bench,
    };

    #[test]
    fn a_lower_rating_and_a_thicker_wire_are_and_nothing_else_is() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        let fuse = bench.fuse("F1", 10.0);
        let cavity = bench.cavity("MC-A", "2");
        let book = bench.book();
        let wire = book.get(wire).unwrap().clone();
        let fuse = book.get(fuse).unwrap().clone();
        let cavity = book.get(cavity).unwrap().clone();
        let sized = |area_mm2, to| {
            let after = Wire {
                area_mm2,
                to,
                ..wire.clone()
            };
            Change::replace(wire.clone(), after)
        };
        let rated = |rating_a| {
            let after = Fuse {
                rating_a,
                ..fuse.clone()
            };
            Change::replace(fuse.clone(), after)
        };
        let decided = Cavity {
            decision: Decision::Blank,
            ..cavity.clone()
        };
        assert!(only_safer(&[sized(Some(0.75), wire.to), rated(7.5)]));
        for no in [
            rated(15.0),
            rated(10.0),
            sized(Some(0.35), wire.to),
            sized(None, wire.to),
            // Thicker, but moved as well.
            sized(Some(0.75), End::Free),
            Change::replace(cavity.clone(), decided),
            Change::remove(wire.clone()),
            Change::make(fuse.clone()),
        ] {
            assert!(!only_safer(&[rated(7.5), no.clone()]), "{no:?}");
        }
        assert!(!only_safer(&[]), "nothing is no mend");
    }
}
