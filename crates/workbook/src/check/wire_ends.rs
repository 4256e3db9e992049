//! A wire that ends nowhere, or twice in one place.

use super::{Check, Finding, Level, Mend, Out};
use crate::{
    analysis::Snapshot,
    model::{End, Kind, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "wire-ends",
    what: "each wire leads from one place to another",
    inputs: "ends of wires",
    source: "common practice, no source",
    rests_on: &[(Kind::Wire, &["from", "to"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for wire in book.all::<Wire>().values() {
        let (level, what, mend) = match (wire.from, wire.to) {
            (End::Free, End::Free) => (
                Level::Warning,
                "has no end that is placed".to_owned(),
                "place both ends, or take the wire out",
            ),
            (End::Free, end) | (end, End::Free) => (
                Level::Warning,
                format!("leads from {} to nowhere yet", book.end_name(end)),
                "place its other end, or insulate and park it",
            ),
            (one, other) if one == other => (
                Level::Stop,
                format!("has both ends at {}", book.end_name(one)),
                "place one of its ends elsewhere",
            ),
            _ => continue,
        };
        out.find(
            Finding::new(CHECK.name, level, wire.id, format!("{} {what}.", wire.label))
                .matters("A wire without a place is cut and crimped for nothing; its loose end touches what it likes.")
                .mend(Mend::words(mend))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn found(change: impl FnOnce(&mut Wire)) -> Vec<(Level, String)> {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        bench.edit(wire, change);
        let report = run_without_mends(&bench.snapshot());
        report
            .of("wire-ends")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn a_wire_has_two_different_ends() {
        assert_eq!(found(|_| {}), []);
        let loose = found(|w| w.to = End::Free);
        assert_eq!(
            loose,
            [(Level::Warning, "W1 leads from MC-A1 to nowhere yet.".to_owned())]
        );
        let same = found(|w| w.to = w.from);
        assert_eq!(same, [(Level::Stop, "W1 has both ends at MC-A1.".to_owned())]);
        assert_eq!(found(|w| (w.from, w.to) = (End::Free, End::Free)).len(), 1);
    }
}
