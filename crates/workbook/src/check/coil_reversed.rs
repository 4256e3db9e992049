//! A coil or a diode across it the wrong way round: the diode shorts whatever drives the coil.

use super::{Check, Figure, Finding, Level, Mend, Out, common::words::number};
use crate::{
    analysis::{Snapshot, StateResult},
    model::{Kind, Part, PartKind, Suppression},
};

pub(super) static CHECK: Check = Check {
    name: "coil-reversed",
    what: "no coil with a polarity, and no diode across a coil, gets its voltage the wrong way round in any operating state",
    inputs: "ends of coils and diodes, operating states",
    source: "voltages from the solved network",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

/// Beyond this it is more than a difference of grounds, V.
const REVERSED_V: f64 = 1.0;
/// A diode across a coil that carries this is no suppressor, A.
const CONDUCTS_A: f64 = 0.1;

fn find(see: &Snapshot, out: &mut Out) {
    let parts = &see.wiring().parts;
    for run in parts {
        let Some(part) = see.book().get(run.part) else {
            continue;
        };
        let [plus, minus] = run.ends[..] else { continue };
        let across = |of: &StateResult| of.operated.between(plus, minus);
        if let PartKind::Coil {
            suppression,
            polarised,
            ..
        } = part.kind
            && (polarised || matches!(suppression, Some(Suppression::Diode | Suppression::DiodeZener)))
        {
            let worst = see
                .states()
                .iter()
                .filter_map(|of| Some((across(of).filter(|v| *v < -REVERSED_V)?, of)))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((volts, of)) = worst {
                let sentence = format!(
                    "{} is the wrong way round: {} V from plus to minus in {}.",
                    part.label,
                    number(volts),
                    see.book().label_of(of.state)
                );
                out.find(finding(part, sentence, volts));
            }
        }
    }
    for (at, run) in parts.iter().enumerate() {
        let Some(part) = see.book().get(run.part) else {
            continue;
        };
        let (PartKind::Diode { .. }, [anode, cathode]) = (&part.kind, &run.ends[..]) else {
            continue;
        };
        let nets = &see.signals().nets;
        let near = |p: &Part, place: usize| p.ends.get(place).and_then(|end| nets.at(end));
        let beside = near(part, 0)
            .and_then(|net| nets.get(net))
            .into_iter()
            .flat_map(|net| &net.parts);
        let coil = beside
            .filter_map(|(id, _)| see.book().get(*id))
            .find(|coil: &&Part| {
                matches!(coil.kind, PartKind::Coil { .. })
                    && near(coil, 0) == near(part, 0)
                    && near(coil, 1) == near(part, 1)
            });
        let conducts = |of: &&StateResult| of.operated.part_a(at) > CONDUCTS_A;
        let (Some(coil), Some(of)) = (coil, see.states().iter().find(conducts)) else {
            continue;
        };
        let volts = of.operated.between(*anode, *cathode).unwrap_or(0.0);
        let sentence = format!(
            "{} across {} is the wrong way round: it carries {} A in {}.",
            part.label,
            coil.label,
            number(of.operated.part_a(at)),
            see.book().label_of(of.state)
        );
        out.find(finding(part, sentence, volts).with([coil.id]));
    }
}

fn finding(part: &Part, sentence: String, volts: f64) -> Finding {
    Finding::new(CHECK.name, Level::Stop, part.id, sentence)
        .figure(Figure::plain("voltage", volts, "V"))
        .matters(
            "The diode conducts as soon as the coil is switched on, and shorts its output or blows its fuse.",
        )
        .mend(Mend::words("swap its two ends"))
        .source(CHECK.source)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("coil-reversed").map(|f| f.sentence.clone()).collect()
    }

    fn relay(ends: [&str; 2], suppression: Suppression) -> Bench {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        let mut kind = Bench::coil(80.0, 9.0);
        if let PartKind::Coil { suppression: s, .. } = &mut kind {
            *s = Some(suppression);
        }
        bench.resistor("feed", 0.1, &["BP", "PB-A1"]);
        bench.part("K1 coil", kind, &ends);
        bench
    }

    #[test]
    fn a_coil_with_a_diode_has_a_right_way_round_and_one_with_a_resistor_has_none() {
        assert_eq!(found(&relay(["PB-A1", "BN"], Suppression::Diode)), [""; 0]);
        assert_eq!(found(&relay(["BN", "PB-A1"], Suppression::Resistor)), [""; 0]);
        assert_eq!(
            found(&relay(["BN", "PB-A1"], Suppression::Diode)),
            ["K1 coil is the wrong way round: -12.6 V from plus to minus in KEY."]
        );
    }

    #[test]
    fn a_diode_across_a_coil_blocks_while_the_coil_is_on() {
        let with = |ends: [&str; 2]| {
            let mut bench = relay(["PB-A1", "BN"], Suppression::None);
            bench.part("K1 diode", PartKind::Diode { forward_v: 0.7 }, &ends);
            found(&bench)
        };
        assert_eq!(with(["BN", "PB-A1"]), [""; 0]);
        let reversed = with(["PB-A1", "BN"]);
        assert_eq!(reversed.len(), 1);
        assert!(
            reversed[0].starts_with("K1 diode across K1 coil is the wrong way round: it carries "),
            "{reversed:?}"
        );
    }
}
