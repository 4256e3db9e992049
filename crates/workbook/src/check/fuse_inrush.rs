//! A pulse at switch-on that ages the fuse it goes through.

use std::collections::BTreeMap;

use crimpbook_core::fuse::{Grade, inrush};

use super::{
    Check, Figure, Finding, Level, Out,
    common::words::{list, number, sources},
};
use crate::{
    analysis::{
        Snapshot,
        protect::{FuseZone, core_fuse},
    },
    circuit::Node,
    model::{About, Id, Kind, LoadMode, Part, PartKind},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "fuse-inrush",
    what: "the pulse of each load at switch-on stays within 30 % of what melts its fuse",
    inputs: "the inrush current of each load and how long it lasts, the fuse's melting I²t or its kind",
    source: "30 % of the melting I²t for a long life: common practice, no source",
    rests_on: &[
        (Kind::Fuse, &["rating_a", "kind", "melting_a2s"]),
        (Kind::Part, &["kind"]),
    ],
    reads: &[],
    find,
};

/// A load from this current on is asked for its inrush, A.
const ASKED_FROM_A: f64 = 1.0;

/// A pulse through a fuse.
struct Pulse {
    parts: Vec<Id<Part>>,
    current_a: f64,
    time_s: f64,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let nominal_v = book
        .all::<About>()
        .values()
        .next()
        .map_or(12.6, |a| a.supply.nominal_v);
    let zones = see.protection().zones.iter().enumerate();
    let zone_of: BTreeMap<Node, usize> = zones
        .flat_map(|(at, z)| z.nodes.iter().map(move |n| (*n, at)))
        .collect();
    let mut pulses: Vec<Vec<Pulse>> = see.protection().zones.iter().map(|_| Vec::new()).collect();
    for run in &see.wiring().parts {
        let (Some(part), Some(plus)) = (book.get(run.part), run.ends.first()) else {
            continue;
        };
        let Some(zone) = zone_of.get(plus).copied().and_then(|at| pulses.get_mut(at)) else {
            continue;
        };
        match &part.kind {
            PartKind::Load {
                mode,
                inrush_a,
                inrush_s,
                ..
            } => match (inrush_a, inrush_s) {
                (Some(current_a), Some(time_s)) => zone.push(Pulse {
                    parts: vec![part.id],
                    current_a: *current_a,
                    time_s: *time_s,
                }),
                _ if draw_a(mode, nominal_v) >= ASKED_FROM_A => {
                    let missing = format!("the inrush current of {} and how long it lasts", part.label);
                    let asks = [&fields::LOAD_INRUSH_A, &fields::LOAD_INRUSH_S].map(|f| Ask::of(part.id, f));
                    out.cannot(CHECK.name, part.unit, missing, asks);
                }
                _ => {}
            },
            PartKind::Lamp {
                hot_ohm,
                cold_ohm: None,
                ..
            } if nominal_v / hot_ohm >= ASKED_FROM_A => {
                out.cannot(
                    CHECK.name,
                    part.unit,
                    format!("the cold resistance of {}", part.label),
                    [Ask::of(part.id, &fields::LAMP_COLD_OHM)],
                );
            }
            // Coils with an economiser may pull in together.
            PartKind::Coil {
                ohm,
                hold_a: Some(_),
                pull_in_s: Some(time_s),
                ..
            } => {
                let current_a = nominal_v / ohm.max(0.1);
                let is_coil = |p: &&mut Pulse| {
                    p.parts
                        .iter()
                        .any(|id| matches!(book.get(*id).map(|p| &p.kind), Some(PartKind::Coil { .. })))
                };
                match zone.iter_mut().find(is_coil) {
                    Some(pulse) => {
                        pulse.parts.push(part.id);
                        pulse.current_a += current_a;
                        pulse.time_s = pulse.time_s.max(*time_s);
                    }
                    None => zone.push(Pulse {
                        parts: vec![part.id],
                        current_a,
                        time_s: *time_s,
                    }),
                }
            }
            _ => {}
        }
    }
    for (zone, pulses) in see.protection().zones.iter().zip(pulses) {
        for pulse in pulses {
            judge(see, zone, &pulse, out);
        }
    }
}

fn draw_a(mode: &LoadMode, volts: f64) -> f64 {
    match mode {
        LoadMode::Current { current_a } => *current_a,
        LoadMode::Resistance { ohm } => volts / ohm.max(1e-3),
        LoadMode::Power { power_w } => power_w / volts,
    }
}

fn judge(see: &Snapshot, zone: &FuseZone, pulse: &Pulse, out: &mut Out) {
    let book = see.book();
    let Some(fuse) = book.get(zone.fuse) else { return };
    let Some(core) = core_fuse(see, zone, fuse) else {
        return;
    };
    let verdict = inrush(&core, pulse.current_a, pulse.time_s);
    let level = match verdict.grade {
        Grade::Good | Grade::CannotCheck => return,
        Grade::Note => Level::Note,
        Grade::Warning | Grade::Stop => Level::Warning,
    };
    let loads: Vec<String> = pulse.parts.iter().map(|id| book.label_of(*id)).collect();
    let own = if verdict.melting.own_data {
        String::new()
    } else {
        " (least of its kind; its data sheet may say more)".to_owned()
    };
    let sentence = format!(
        "{} {} A ages by the inrush of {}: {} A for {} s are {} A²s, {} A²s are good{own}.",
        fuse.label,
        number(fuse.rating_a),
        list(&loads),
        number(pulse.current_a),
        number(pulse.time_s),
        number(verdict.pulse_a2s),
        number(verdict.allowed_a2s),
    );
    out.find(
        Finding::new(CHECK.name, level, fuse.id, sentence)
            .with(pulse.parts.iter().copied())
            .figure(Figure::against(
                "I²t of the pulse",
                verdict.pulse_a2s,
                verdict.allowed_a2s,
                "A²s",
            ))
            .figure(Figure::plain("melting I²t", verdict.melting.a2s, "A²s"))
            .matters("Each switch-on takes something off the fuse element, until it opens without a fault.")
            .mend(super::Mend::words(
                "a slower fuse of the same rating, or the melting I²t from its data sheet",
            ))
            .source(sources(&verdict.basis)),
    );
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn pump(inrush: Option<(f64, f64)>, melting_a2s: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let zone = bench.zone("cabin", 40.0);
        let fuse = bench.fuse_way("F4", 15.0, "BP", "PB-A16");
        bench.edit(fuse, |f: &mut Fuse| {
            f.zone = Some(zone);
            f.melting_a2s = melting_a2s;
        });
        bench.wire("W76", "PB-A16", "VP-A1", 2.5, 4.8);
        let pump = bench.load("pump", 9.0, &["VP-A1", "BN"]);
        bench.edit(pump, |p: &mut Part| {
            if let PartKind::Load {
                inrush_a, inrush_s, ..
            } = &mut p.kind
            {
                (*inrush_a, *inrush_s) = (inrush.map(|i| i.0), inrush.map(|i| i.1));
            }
        });
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        run_without_mends(&bench.snapshot())
            .of("fuse-inrush")
            .map(|f| f.sentence.clone())
            .collect()
    }

    /// 28² × 0.1 = 78 A²s: 23 % of 340, but 71 % of the least of its kind, 0.49 × 15² = 110 A²s.
    #[test]
    fn the_fuses_own_figure_decides_where_there_is_one() {
        assert_eq!(found(&pump(Some((28.0, 0.1)), Some(340.0))), [""; 0]);
        let by_kind = found(&pump(Some((28.0, 0.1)), None));
        assert!(
            by_kind[0].starts_with("F4 15 A ages by the inrush of pump: 28 A for 0.1 s are 78.4 A²s"),
            "{by_kind:?}"
        );
    }

    #[test]
    fn a_load_without_its_inrush_is_asked_for() {
        let see = pump(None, None).snapshot();
        let report = run_without_mends(&see);
        assert_eq!(report.of("fuse-inrush").count(), 0);
        let asked: Vec<String> = report
            .cannot_check
            .iter()
            .map(|c| c.sentence(see.book()))
            .collect();
        assert!(
            asked.iter().any(|a| a.contains("inrush current of pump")),
            "{asked:?}"
        );
    }
}
