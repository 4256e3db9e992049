//! A splice in the wrong place: near a plug or a branch, in a part that moves, open where it is wet; or in a sleeve that does
//! not hold what it joins.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        facts::{Fact, ask},
        words::number,
    },
};
use crate::{
    analysis::Snapshot,
    circuit::size_of,
    model::{End, Junction, JunctionKind, Kind, Wire, Zone},
    question::{Ask, fields},
};

pub(super) static PLACE: Check = Check {
    name: "splice-placed",
    what: "a splice lies 150 mm from any plug and 40 mm from a branch or the next splice, moves nowhere, and is sealed where it is wet",
    inputs: "lengths of the wires at each splice, its way to the next branch, its zone, whether it is sealed and whether the loom moves there",
    source: "common practice, no source",
    rests_on: &[
        (Kind::Junction, &["clear_m", "sealed", "flexes", "zone"]),
        (Kind::Wire, &["length_m", "from", "to"]),
        (Kind::Zone, &["wet"]),
    ],
    reads: &[
        (Kind::Junction, &["clear_m", "flexes", "sealed"]),
        (Kind::Zone, &["wet"]),
        (Kind::Wire, &["length_m"]),
    ],
    find: place,
};

pub(super) static SLEEVE: Check = Check {
    name: "splice-sleeve",
    what: "a splice's sleeve holds the conductors that it joins, all added up",
    inputs: "sizes of the wires at each splice, what its sleeve holds",
    source: "the range of the sleeve in hand, as its maker gives it; 5 % are left to gauges (our own)",
    rests_on: &[
        (Kind::Junction, &["sleeve_least_mm2", "sleeve_most_mm2"]),
        (Kind::Wire, &["area_mm2", "size_written", "from", "to"]),
    ],
    reads: &[
        (Kind::Junction, &["sleeve_least_mm2", "sleeve_most_mm2"]),
        (Kind::Wire, &["area_mm2", "size_written"]),
    ],
    find: sleeve,
};

/// From a plug, m.
const FROM_PLUG_M: f64 = 0.15;
/// From a branch or the next splice, m.
const FROM_BRANCH_M: f64 = 0.04;
/// What rounding may take from a length.
const SLACK: f64 = 0.999;
/// A gauge may pass the end of a range by this share.
const GAUGE_SLACK: f64 = 0.05;

fn splices(see: &Snapshot) -> impl Iterator<Item = (&Junction, Vec<&Wire>)> {
    let book = see.book();
    let all = book.all::<Junction>().values();
    all.filter(|j| j.kind == JunctionKind::Splice)
        .filter_map(|splice| {
            let ends = book.index().wires_at_junction.of(&splice.id).iter();
            let wires: Vec<&Wire> = ends.filter_map(|(id, _)| book.get(*id)).collect();
            (wires.len() > 1).then_some((splice, wires))
        })
}

fn place(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for (splice, wires) in splices(see) {
        let to_plug = wires.iter().copied().filter(|w| {
            let other = if w.from == End::Junction(splice.id) {
                w.to
            } else {
                w.from
            };
            matches!(other, End::Cavity(_))
        });
        let places = to_plug.clone().filter_map(|w| see.wiring().wire_at(w.id));
        ask(see, PLACE.name, places, &[Fact::Length], out);
        let nearest = to_plug
            .filter_map(|w| Some((w, w.length_m.filter(|m| m.is_finite() && *m > 0.0)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let wet = splice.zone.and_then(|id| book.get(id)).map(|z: &Zone| z.wet);
        let mut wrong: Vec<(String, Figure, &str)> = Vec::new();
        if let Some((wire, m)) = nearest.filter(|(_, m)| *m < FROM_PLUG_M * SLACK) {
            wrong.push((
                format!("lies {} mm from a plug, at {}", number(m * 1000.0), wire.label),
                Figure::against("from the plug", m * 1000.0, FROM_PLUG_M * 1000.0, "mm"),
                "move it back along the loom",
            ));
        }
        if let Some(m) = splice.clear_m.filter(|m| *m < FROM_BRANCH_M * SLACK) {
            wrong.push((
                format!("lies {} mm from a branch or the next splice", number(m * 1000.0)),
                Figure::against("from the branch", m * 1000.0, FROM_BRANCH_M * 1000.0, "mm"),
                "stagger it",
            ));
        }
        if splice.flexes == Some(true) {
            wrong.push((
                "lies where the loom moves".to_owned(),
                Figure::plain("where it moves", 1.0, ""),
                "move it into a part that stands still",
            ));
        }
        if wet == Some(true) && splice.sealed == Some(false) {
            wrong.push((
                "is not sealed, and water reaches it".to_owned(),
                Figure::plain("open to water", 1.0, ""),
                "shrink tube with adhesive over it",
            ));
        }
        missing(splice, wet, out);
        let Some((_, first, _)) = wrong.first() else {
            continue;
        };
        let first = first.clone();
        let said: Vec<String> = wrong.iter().map(|(words, ..)| words.clone()).collect();
        let mends: Vec<&str> = wrong.iter().map(|(.., mend)| *mend).collect();
        let sentence = format!("{} {}.", splice.label, said.join("; it "));
        out.find(
            Finding::new(PLACE.name, Level::Warning, splice.id, sentence)
                .with(nearest.map(|(wire, _)| wire.id))
                .figure(first)
                .matters("A splice is stiff and open at its ends: bending breaks its strands, water creeps up the wires.")
                .mend(Mend::words(mends.join("; ")))
                .source(PLACE.source),
        );
    }
}

/// What is not told of how a splice lies, asked once.
fn missing(splice: &Junction, wet: Option<bool>, out: &mut Out) {
    let open_if_wet = wet != Some(false) && splice.sealed.is_none();
    let asks: Vec<Ask> = [
        (splice.zone.is_none(), &fields::JUNCTION_ZONE),
        (splice.clear_m.is_none(), &fields::SPLICE_CLEAR),
        (splice.flexes.is_none(), &fields::SPLICE_FLEXES),
        (open_if_wet, &fields::SPLICE_SEALED),
    ]
    .into_iter()
    .filter(|(absent, _)| *absent)
    .map(|(_, field)| Ask::of(splice.id, field))
    .collect();
    if !asks.is_empty() {
        let words: Vec<&str> = asks.iter().map(|ask| ask.field.words).collect();
        out.cannot(
            PLACE.name,
            splice.id,
            format!("how it lies ({})", words.join(", ")),
            asks,
        );
    }
}

fn sleeve(see: &Snapshot, out: &mut Out) {
    for (splice, wires) in splices(see) {
        let places = wires.iter().filter_map(|w| see.wiring().wire_at(w.id));
        ask(see, SLEEVE.name, places, &[Fact::Size], out);
        let (Some(least), Some(most)) = (splice.sleeve_least_mm2, splice.sleeve_most_mm2) else {
            let asks = [&fields::SLEEVE_LEAST_MM2, &fields::SLEEVE_MOST_MM2].map(|f| Ask::of(splice.id, f));
            out.cannot(SLEEVE.name, splice.id, "what its sleeve holds", asks);
            continue;
        };
        let sizes: Option<Vec<f64>> = wires.iter().map(|w| Some(size_of(w)?.area_mm2())).collect();
        let Some(sum) = sizes.map(|sizes| sizes.iter().sum::<f64>()) else {
            continue;
        };
        let thick = sum > most * (1.0 + GAUGE_SLACK);
        if !thick && sum >= least * (1.0 - GAUGE_SLACK) {
            continue;
        }
        let sentence = format!(
            "{} joins {} mm² in all; its sleeve holds {} to {} mm².",
            splice.label,
            number(sum),
            number(least),
            number(most)
        );
        let limit = if thick { most } else { least };
        out.find(
            Finding::new(SLEEVE.name, Level::Warning, splice.id, sentence)
                .with(wires.iter().map(|w| w.id))
                .figure(Figure::against("conductors together", sum, limit, "mm²"))
                .matters("Too little and the strands are not held, too much and they are cut: both come loose later.")
                .mend(Mend::words("a sleeve of the right size, or two splices"))
                .source(SLEEVE.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn told(change: impl FnOnce(&mut Junction)) -> Bench {
        let mut bench = Bench::new();
        bench.wire("W1", "MC-A1", "SP1", 0.5, 0.4);
        bench.wire("W2", "SP1", "XA-A1", 1.0, 1.0);
        let zone = bench.zone("wet", 60.0);
        bench.edit(zone, |z: &mut Zone| z.wet = true);
        let End::Junction(splice) = bench.end("SP1") else {
            panic!("a splice");
        };
        bench.edit(splice, |j: &mut Junction| {
            j.zone = Some(zone);
            (j.clear_m, j.sealed, j.flexes) = (Some(0.1), Some(true), Some(false));
            (j.sleeve_least_mm2, j.sleeve_most_mm2) = (Some(1.0), Some(2.5));
            change(j);
        });
        bench
    }

    fn found(bench: &Bench, check: &str) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of(check).map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_splice_that_lies_right_is_silent_and_each_wrong_way_is_told() {
        let said = |change: fn(&mut Junction)| found(&told(change), "splice-placed");
        assert_eq!(said(|_| {}), [""; 0]);
        assert_eq!(
            said(|j| j.clear_m = Some(0.02)),
            ["SP1 lies 20 mm from a branch or the next splice."]
        );
        assert_eq!(
            said(|j| j.flexes = Some(true)),
            ["SP1 lies where the loom moves."]
        );
        assert_eq!(
            said(|j| j.sealed = Some(false)),
            ["SP1 is not sealed, and water reaches it."]
        );
    }

    #[test]
    fn a_hundred_millimetres_from_a_plug_is_too_near_and_150_are_not() {
        let at = |m: f64| {
            let mut bench = told(|_| {});
            let wire = bench.named::<Wire>("W1");
            bench.edit(wire, |w: &mut Wire| w.length_m = Some(m));
            found(&bench, "splice-placed")
        };
        assert_eq!(at(0.1), ["SP1 lies 100 mm from a plug, at W1."]);
        assert_eq!(at(0.15), [""; 0]);
    }

    #[test]
    fn how_it_lies_is_asked_for_once() {
        let bench = told(|j| (j.clear_m, j.sealed, j.flexes) = (None, None, None));
        assert_eq!(
            bench.missing_for("splice-placed"),
            [
                "how it lies (way to the next branch or splice, whether the loom moves there, whether it is sealed)"
            ]
        );
        let mut unmeasured = told(|_| {});
        let wire = unmeasured.named::<Wire>("W1");
        unmeasured.edit(wire, |w: &mut Wire| w.length_m = None);
        assert_eq!(unmeasured.missing_for("splice-placed"), ["the length of W1"]);
    }

    #[test]
    fn a_sleeve_holds_what_it_holds() {
        let said = |least, most| {
            let bench = told(|j| (j.sleeve_least_mm2, j.sleeve_most_mm2) = (least, most));
            (found(&bench, "splice-sleeve"), bench.missing_for("splice-sleeve"))
        };
        assert_eq!(
            said(Some(0.5), Some(1.0)).0,
            ["SP1 joins 1.5 mm² in all; its sleeve holds 0.5 to 1 mm²."]
        );
        assert_eq!(said(Some(1.0), Some(1.5)), (vec![], vec![]));
        assert_eq!(
            said(None, None),
            (vec![], vec!["what its sleeve holds".to_owned()])
        );
    }
}
