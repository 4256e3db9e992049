//! An output, reference or contact that carries more than it may.

use crimpbook_core::network::Condition;

use super::{Check, Figure, Finding, Level, Mend, Out, common::words::number};
use crate::{
    analysis::{Snapshot, StateResult},
    model::{Kind, Part, PartKind},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "output-overload",
    what: "no output, sensor reference or contact carries more than it may, in any operating state",
    inputs: "limits of outputs, references and contacts, operating states with what draws in them",
    source: "the limits as the manuals give them; currents from the solved network",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

/// An output that carries no more than this is not asked for its limit, A.
const SMALL_A: f64 = 0.05;

fn find(see: &Snapshot, out: &mut Out) {
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = see.book().get(run.part) else {
            continue;
        };
        let limit = match &part.kind {
            PartKind::Output { most_a, peak_a, .. } => (*most_a, *peak_a),
            PartKind::Contact { most_a, .. } => (*most_a, None),
            PartKind::Reference { limit_a, .. } => (*limit_a, None),
            _ => continue,
        };
        judge(see, at, part, limit, out);
    }
}

fn judge(
    see: &Snapshot,
    at: usize,
    part: &Part,
    (most_a, peak_a): (Option<f64>, Option<f64>),
    out: &mut Out,
) {
    let carried = |of: &StateResult| of.operated.part_a(at).abs();
    let Some(most_a) = most_a else {
        let field = match part.kind {
            PartKind::Output { .. } => &fields::OUTPUT_MOST_A,
            PartKind::Reference { .. } => &fields::REFERENCE_LIMIT,
            _ => return,
        };
        if see.states().iter().any(|of| carried(of) > SMALL_A) {
            out.cannot(
                CHECK.name,
                part.unit,
                format!("how much {} may carry", part.label),
                [Ask::of(part.id, field)],
            );
        }
        return;
    };
    let over = see.states().iter().filter_map(|of| {
        // What starts may draw the peak for a moment.
        let limit_a = if of.stands.starts() {
            peak_a.unwrap_or(most_a)
        } else {
            most_a
        };
        let limited = matches!(part.kind, PartKind::Reference { .. })
            && of.operated.condition(at) == Some(Condition::Limited);
        let current_a = carried(of);
        (current_a > limit_a * 1.001 || limited).then_some((current_a / limit_a, current_a, limit_a, of))
    });
    let Some((_, current_a, limit_a, of)) = over.max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return;
    };
    let sentence = format!(
        "{} carries {} A in {}; it may carry {} A.",
        part.label,
        number(current_a),
        see.book().label_of(of.state),
        number(limit_a),
    );
    out.find(
        Finding::new(CHECK.name, Level::Stop, part.id, sentence)
            .figure(Figure::against("current", current_a, limit_a, "A"))
            .matters("It gets hot, shuts off at the wrong moment, or burns out.")
            .mend(Mend::words("fewer loads on it, or a relay between"))
            .source(CHECK.source),
    );
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn lamp(ohm: f64, most_a: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        let state = bench.state("STOP");
        bench.battery();
        let kind = PartKind::Lamp {
            hot_ohm: ohm,
            cold_ohm: None,
            rated_v: None,
        };
        bench.part("lamp", kind, &["BP", "MC-A26"]);
        let out = bench.part("MC OUT5", Bench::low_side(0.05), &["MC-A26", "BN"]);
        bench.edit(out, |p: &mut Part| {
            if let PartKind::Output { most_a: most, .. } = &mut p.kind {
                *most = most_a;
            }
        });
        bench.set(state, out, PartPosition::On);
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("output-overload").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_lamp_too_big_for_its_output_is_found() {
        assert_eq!(found(&lamp(120.0, Some(0.3))), [""; 0]);
        assert_eq!(
            found(&lamp(24.0, Some(0.3))),
            ["MC OUT5 carries 0.52 A in STOP; it may carry 0.3 A."]
        );
    }

    #[test]
    fn a_limit_that_is_not_told_is_asked_for() {
        let report = run_without_mends(&lamp(24.0, None).snapshot());
        assert_eq!(report.of("output-overload").count(), 0);
        assert!(
            report
                .cannot_check
                .iter()
                .any(|c| c.missing == "how much MC OUT5 may carry")
        );
    }

    #[test]
    fn a_reference_at_its_limit_is_found() {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        let reference = PartKind::Reference {
            volts_v: 5.0,
            ohm: 1.0,
            limit_a: Some(0.1),
        };
        bench.part("MC 5V 1", reference, &["MC-A6", "BN"]);
        bench.resistor("sensors", 40.0, &["MC-A6", "BN"]);
        assert!(found(&bench)[0].starts_with("MC 5V 1 carries 0.1 A in KEY"));
    }
}
