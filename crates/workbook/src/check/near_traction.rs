//! Signals that run beside traction cables.

use std::collections::BTreeMap;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{list, number},
};
use crate::{
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{Bundle, Cavity, End, Id, Kind, SignalKind, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "near-traction",
    what: "bundles with sensors, encoders or a bus in them keep 0.1 m from traction cables",
    inputs: "kinds of cavities, bundles of wires, their least way to traction cables",
    source: "common practice, no source; crossings at a right angle do not count",
    rests_on: &[
        (Kind::Bundle, &["traction_m"]),
        (Kind::Wire, &["bundle", "from", "to"]),
        (Kind::Cavity, &["kind"]),
    ],
    reads: &[(Kind::Bundle, &["traction_m"]), (Kind::Wire, &["bundle"])],
    find,
};

/// Least way, m.
const LEAST_M: f64 = 0.1;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut sensitive: BTreeMap<Id<Bundle>, Vec<&Wire>> = BTreeMap::new();
    for wire in book.all::<Wire>().values() {
        let Some(bundle) = wire.bundle else { continue };
        let kinds = [wire.from, wire.to].into_iter().filter_map(|end| match end {
            End::Cavity(id) => book.get(id).and_then(|c: &Cavity| c.kind),
            _ => None,
        });
        if kinds.into_iter().any(SignalKind::is_sensitive) {
            sensitive.entry(bundle).or_default().push(wire);
        }
    }
    for (id, mut wires) in sensitive {
        let Some(bundle) = book.get(id) else { continue };
        let Some(way_m) = bundle.traction_m else {
            let ask = Ask::of(id, &fields::BUNDLE_TRACTION);
            out.cannot(CHECK.name, id, "its least way to traction cables", [ask]);
            continue;
        };
        if way_m >= LEAST_M {
            continue;
        }
        wires.order_by(|w| natural(&w.label));
        let mut labels: Vec<String> = wires.iter().take(3).map(|w| w.label.clone()).collect();
        if wires.len() > 3 {
            labels.push(format!("{} more", wires.len() - 3));
        }
        let sentence = format!(
            "{} runs {} mm from traction cables, with {} in it; 100 mm at least.",
            bundle.label,
            number(way_m * 1000.0),
            list(&labels)
        );
        out.find(
            Finding::new(CHECK.name, Level::Warning, id, sentence)
                .with(wires.iter().map(|w| w.id))
                .figure(Figure::against("from traction cables", way_m * 1000.0, LEAST_M * 1000.0, "mm"))
                .matters("The inverter switches thousands of times a second; what runs beside its cables hears it.")
                .mend(Mend::words("another way for the bundle, or cross at a right angle"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(kind: SignalKind, way_m: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        let wire = bench.wire("W31", "PD-A2", "MC-A10", 0.5, 2.9);
        let (cavity, bundle) = (bench.cavity("MC-A", "10"), bench.bundle("tunnel", None));
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        bench.edit(wire, |w: &mut Wire| w.bundle = Some(bundle));
        bench.edit(bundle, |b: &mut Bundle| b.traction_m = way_m);
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("near-traction").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_sensor_beside_traction_cables_is_found() {
        assert_eq!(
            found(&bench(SignalKind::AnalogueIn, Some(0.05))),
            ["tunnel runs 50 mm from traction cables, with W31 in it; 100 mm at least."]
        );
        assert_eq!(found(&bench(SignalKind::AnalogueIn, Some(0.15))), [""; 0]);
        assert_eq!(found(&bench(SignalKind::LogicSupply, Some(0.05))), [""; 0]);
    }

    #[test]
    fn the_way_is_asked_for_where_something_sensitive_runs() {
        let asked = |kind| {
            let missing = bench(kind, None).missing_for("near-traction");
            missing.contains(&"its least way to traction cables".to_owned())
        };
        assert!(asked(SignalKind::AnalogueIn) && !asked(SignalKind::LogicSupply));
    }
}
