//! A wire that runs hotter than its insulation bears for ever.

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::wire_at,
        facts::{Fact, ask},
        words::{celsius, number, sources},
    },
};
use crate::{
    analysis::{Snapshot, heat},
    circuit::size_of,
    model::Kind,
};

pub(super) static CHECK: Check = Check {
    name: "wire-hot",
    what: "each wire stays at or below its insulation's class in every operating state",
    inputs: "operating states, sizes, insulation class, zones with their ambient, bundles",
    source: "steady heat balance: natural convection by Churchill and Chu (horizontal cylinder), emissivity 0.9; bundle factors by common practice, no source",
    rests_on: &[
        (
            Kind::Wire,
            &[
                "area_mm2",
                "size_written",
                "bundle",
                "insulation_class_c",
                "from",
                "to",
            ],
        ),
        (Kind::Bundle, &["factor"]),
    ],
    reads: &[],
    find,
};

/// Within this share of its class a wire is called on the edge, and is no stop.
const EDGE: f64 = 0.03;

fn find(see: &Snapshot, out: &mut Out) {
    let wires = see.wiring().wires.len();
    ask(
        see,
        CHECK.name,
        0..wires,
        &[Fact::Size, Fact::Class, Fact::Ambient],
        out,
    );
    for (at, worst) in see.worst().iter().enumerate() {
        let (Some(wire), Some(warmth), Some(hottest)) =
            (wire_at(see, at), see.warmth().wires.get(at), worst.conductor_c)
        else {
            continue;
        };
        let Some(class_c) = warmth
            .class_c()
            .filter(|class| hottest.value > *class && warmth.ambient_c.is_some())
        else {
            continue;
        };
        let Some(state) = see.states().get(hottest.state) else {
            continue;
        };
        let current_a = state.operated.wire_a(at).abs();
        let factor = state.temperatures.factor.get(at).copied().unwrap_or(1.0);
        let edge = hottest.value <= class_c * (1.0 + EDGE);
        let size = size_of(wire).map_or_else(String::new, |s| format!(" {s}"));
        let sentence = format!(
            "{}{size} runs at {}{} in {} with {} A; its insulation bears {} for ever.",
            wire.label,
            celsius(hottest.value),
            if edge { ", on the edge," } else { "" },
            see.book().label_of(state.state),
            number(current_a),
            celsius(class_c),
        );
        let finding = Finding::new(
            CHECK.name,
            if edge { Level::Warning } else { Level::Stop },
            wire.id,
            sentence,
        )
        .figure(Figure::against("conductor", hottest.value, class_c, "°C"))
        .figure(Figure::plain("current", current_a, "A"))
        .figure(Figure::plain("bundle factor", factor, ""))
        .matters(
            "Insulation above its class turns brittle and cracks; far above it melts into its neighbours.",
        )
        .source(format!("{}; {}", CHECK.source, sources(&heat::basis(warmth))));
        let proposals = super::common::contacts::thicker_mends(see, wire, |area_mm2| {
            crate::analysis::protect::wire_below(see, at, Some(area_mm2))
                .is_some_and(|w| w.heat.steady(current_a).conductor_c() <= class_c * (1.0 - EDGE))
        });
        out.find_with(finding, proposals);
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// A heater at the end of a wire in 60 °C.
    fn heater(area_mm2: f64, current_a: f64) -> Bench {
        let mut bench = Bench::new();
        bench.state("HEAT");
        bench.battery();
        bench.wire("W1", "BP", "XA-A1", area_mm2, 2.0);
        bench.load("heater", current_a, &["XA-A1", "BN"]);
        let (zone, unit) = (bench.zone("wet", 60.0), bench.unit("XA"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        bench
    }

    #[test]
    fn a_wire_above_its_class_is_a_stop_with_a_size_that_mends_it() {
        let report = run(&heater(0.5, 14.0).snapshot());
        let finding = report.of("wire-hot").next().unwrap();
        assert_eq!(finding.level, Level::Stop);
        assert!(
            finding.sentence.starts_with("W1 0.5 mm² runs at "),
            "{}",
            finding.sentence
        );
        assert!(
            finding.mend.as_ref().unwrap().words.contains("W1"),
            "{:?}",
            finding.mend
        );
    }

    #[test]
    fn a_thick_one_is_silent() {
        assert_eq!(
            run_without_mends(&heater(2.5, 14.0).snapshot())
                .of("wire-hot")
                .count(),
            0
        );
    }

    #[test]
    fn without_an_ambient_it_cannot_be_checked() {
        let mut bench = heater(0.5, 14.0);
        let unit = bench.unit("XA");
        bench.edit(unit, |u: &mut Unit| u.zone = None);
        let see = bench.snapshot();
        let report = run_without_mends(&see);
        assert_eq!(report.of("wire-hot").count(), 0);
        let asked: Vec<String> = report
            .cannot_check
            .iter()
            .map(|c| c.sentence(see.book()))
            .collect();
        assert!(
            asked.contains(&"cannot check: missing the zone it sits in at unit XA".to_owned()),
            "{asked:?}"
        );
    }
}
