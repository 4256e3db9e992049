//! A splice with too many wires, or with one.

use super::{Check, Figure, Finding, Level, Mend, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    model::{Junction, JunctionKind, Kind, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "splice-crowded",
    what: "a splice joins two to five wires",
    inputs: "ends of wires",
    source: "common practice, no source",
    rests_on: &[(Kind::Wire, &["from", "to"])],
    reads: &[],
    find,
};

/// Most wires in one splice.
const MOST: usize = 5;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for splice in book
        .all::<Junction>()
        .values()
        .filter(|j| j.kind == JunctionKind::Splice)
    {
        let wires = book.index().wires_at_junction.of(&splice.id);
        let labels: Vec<String> = wires.iter().map(|(w, _)| book.label_of::<Wire>(*w)).collect();
        let (level, sentence, mend) = match wires.len() {
            0 | 1 => (
                Level::Note,
                format!(
                    "{} joins {} wire.",
                    splice.label,
                    if wires.is_empty() { "no" } else { "one" }
                ),
                "take it out",
            ),
            2..=MOST => continue,
            count => (
                Level::Warning,
                format!(
                    "{} joins {count} wires ({}); at most {MOST} hold in one splice.",
                    splice.label,
                    list(&labels)
                ),
                "split it in two, with a link between",
            ),
        };
        out.find(
            Finding::new(CHECK.name, level, splice.id, sentence)
                .figure(Figure::against("wires", wires.len() as f64, MOST as f64, ""))
                .matters("The wires in the middle of a crowded splice are hardly held, and one of them is the first to go.")
                .mend(Mend::words(mend))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::testing::Bench;

    fn found(wires: usize) -> Vec<Level> {
        let mut bench = Bench::new();
        for n in 0..wires {
            bench.wire(&format!("W{n}"), "SP1", &format!("CB-A{n}"), 0.75, 1.0);
        }
        bench.end("SP1");
        let report = run_without_mends(&bench.snapshot());
        report.of("splice-crowded").map(|f| f.level).collect()
    }

    /// The ends of wires are its only input: a splice whose wires are not entered yet is told itself.
    #[test]
    fn a_splice_whose_wires_are_missing_is_not_passed_over() {
        assert_eq!(found(0), [Level::Note]);
    }

    #[test]
    fn two_to_five_wires_are_right() {
        assert_eq!(
            (found(1), found(2), found(5), found(6)),
            (vec![Level::Note], vec![], vec![], vec![Level::Warning])
        );
    }
}
