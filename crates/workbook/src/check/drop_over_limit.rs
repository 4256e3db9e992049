//! A wire that drops more than its plan allows.

use crimpbook_core::conductor::ohm_per_m_20;
use crimpbook_core::network::Condition;

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::{resized, thicker_mends, wire_at},
        facts::{Fact, ask},
        words::{celsius, number, sources},
    },
};
use crate::{
    analysis::{Snapshot, StateResult, heat, protect::wire_below},
    circuit::{size_of, table_of},
    model::{Kind, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "drop-over-limit",
    what: "each wire drops no more than its own limit at its running current and temperature",
    inputs: "the drop limit of a wire, its size and length, its contacts, operating states or its planned current",
    source: "limits as planned (usual ones by common practice, no source); R(T) = R20·(234.5 + T)/254.5",
    rests_on: &[
        (
            Kind::Wire,
            &[
                "area_mm2",
                "size_written",
                "length_m",
                "drop_limit_v",
                "typical_a",
                "from",
                "to",
                "bundle",
            ],
        ),
        (Kind::Cavity, &["contact"]),
    ],
    reads: &[],
    find,
};

/// The running current of a wire: the largest of its states, or the planned one where that is larger.
struct Running<'a> {
    current_a: f64,
    conductor_c: f64,
    state: Option<&'a StateResult>,
}

fn find(see: &Snapshot, out: &mut Out) {
    let limited: Vec<(usize, &Wire, f64)> = (0..see.wiring().wires.len())
        .filter_map(|at| {
            let wire = wire_at(see, at)?;
            Some((at, wire, wire.drop_limit_v?))
        })
        .collect();
    let places = limited.iter().map(|(at, ..)| *at);
    ask(see, CHECK.name, places, &[Fact::Size, Fact::Length], out);
    for (at, wire, limit_v) in limited {
        if see
            .wiring()
            .wires
            .get(at)
            .is_none_or(|run| run.conductor_ohm.is_none())
        {
            continue;
        }
        let running = running(see, at, wire);
        let drop_v = see.wire_drop_v(at, running.current_a, running.conductor_c);
        if drop_v <= limit_v {
            continue;
        }
        let size = size_of(wire).map_or_else(String::new, |s| format!(" {s}"));
        let when = running.state.map_or_else(
            || "planned".to_owned(),
            |of| format!("in {}", see.book().label_of(of.state)),
        );
        let sentence = format!(
            "{}{size} drops {} V of {} V allowed, at {} A ({when}) and {}: {} m from {} to {}.",
            wire.label,
            number(drop_v),
            number(limit_v),
            number(running.current_a),
            celsius(running.conductor_c),
            number(wire.length_m.unwrap_or(f64::NAN)),
            see.book().end_name(wire.from),
            see.book().end_name(wire.to),
        );
        let starves = running.state.is_some_and(|of| starves(see, of, at));
        let basis = see.warmth().wires.get(at).map(heat::basis).unwrap_or_default();
        let finding = Finding::new(
            CHECK.name,
            if starves { Level::Stop } else { Level::Warning },
            wire.id,
            sentence,
        )
        .figure(Figure::against(
            "drop of the wire with its contacts",
            drop_v,
            limit_v,
            "V",
        ))
        .figure(Figure::plain("current", running.current_a, "A"))
        .figure(Figure::plain("conductor", running.conductor_c, "°C"))
        .matters("What is lost in the wire is missing at the load, and warms the loom.")
        .source(format!("{}; {}", CHECK.source, sources(&basis)));
        let mut proposals = thicker_mends(see, wire, |area| {
            drop_at(see, at, wire, area, running.current_a) <= limit_v
        });
        for mend in &mut proposals.mends {
            let area_mm2 = mend.changes.iter().find_map(|c| match c.after.as_ref()? {
                crate::model::Record::Wire(after) => after.area_mm2,
                _ => None,
            });
            if let Some(area_mm2) = area_mm2 {
                let volts = drop_at(see, at, wire, area_mm2, running.current_a);
                mend.words = format!("{}, which drops {} V", mend.words, number(volts));
            }
        }
        out.find_with(finding, proposals);
    }
}

/// Whether a wire drops more than its own limit.
pub(super) fn is_over(see: &Snapshot, wire: &Wire) -> bool {
    let at = see.wiring().wire_at(wire.id);
    at.zip(wire.drop_limit_v).is_some_and(|(at, limit_v)| {
        let running = running(see, at, wire);
        see.wire_drop_v(at, running.current_a, running.conductor_c) > limit_v
    })
}

fn running<'a>(see: &'a Snapshot, at: usize, wire: &Wire) -> Running<'a> {
    let ambient_c = see
        .warmth()
        .wires
        .get(at)
        .and_then(|w| w.ambient_c)
        .unwrap_or(25.0);
    let mut running = Running {
        current_a: 0.0,
        conductor_c: ambient_c,
        state: None,
    };
    // The limits are for running currents.
    for of in see.states().iter().filter(|of| !of.stands.starts()) {
        let current_a = of.operated.wire_a(at).abs();
        if running.state.is_none() || current_a > running.current_a {
            running = Running {
                current_a,
                conductor_c: of.temperatures.conductor_c.get(at).copied().unwrap_or(ambient_c),
                state: Some(of),
            };
        }
    }
    // What is planned counts where the inside parts do not tell all that the wire carries.
    if let (Some(planned), Some(warmth)) = (
        wire.typical_a.filter(|a| *a > running.current_a * 1.05),
        see.warmth().wires.get(at),
    ) {
        let factor = warmth.bundle.and_then(|(_, factor)| factor).unwrap_or(1.0);
        running = Running {
            current_a: planned,
            conductor_c: warmth.conductor_c(planned, factor),
            state: None,
        };
    }
    running
}

/// Whether a load that the wire feeds gets less than it needs.
fn starves(see: &Snapshot, of: &StateResult, at: usize) -> bool {
    let Some(run) = see.wiring().wires.get(at) else {
        return false;
    };
    let ends = |node: u32| {
        let contact = see.wiring().contacts.iter().find(|c| c.wire_side == node);
        contact.map_or(node, |c| c.unit_side)
    };
    let touched = [ends(run.from), ends(run.to)];
    see.wiring().parts.iter().enumerate().any(|(place, part)| {
        let meets = part.ends.iter().any(|end| touched.contains(end));
        meets
            && matches!(
                of.operated.condition(place),
                Some(Condition::Starved | Condition::Collapsed)
            )
            && of.operated.part_a(place) > 0.01
    })
}

/// What the wire would drop at another size, V.
fn drop_at(see: &Snapshot, at: usize, wire: &Wire, area_mm2: f64, current_a: f64) -> f64 {
    let tried = resized(wire, area_mm2);
    let (Some(size), Some(length_m)) = (size_of(&tried), wire.length_m) else {
        return f64::INFINITY;
    };
    let ambient_c = see
        .warmth()
        .wires
        .get(at)
        .and_then(|w| w.ambient_c)
        .unwrap_or(25.0);
    let conductor_c =
        wire_below(see, at, Some(area_mm2)).map_or(ambient_c, |w| w.heat.steady(current_a).conductor_c());
    let copper = ohm_per_m_20(&size, table_of(see.book(), wire)).ohm_per_m * length_m;
    // Contacts and joints stay as they are: what the wire drops now, less its copper.
    let cold_c = 20.0;
    let joints_v = see.wire_drop_v(at, current_a, cold_c)
        - current_a
            * see
                .wiring()
                .wires
                .get(at)
                .and_then(|r| r.conductor_ohm)
                .unwrap_or(0.0);
    current_a * copper * crimpbook_core::conductor::copper_factor(conductor_c) + joints_v
}

#[cfg(test)]
mod tests {
    use super::super::{run, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn pump(limit_v: Option<f64>) -> (Bench, Id<Wire>) {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        bench.fuse_way("F4", 15.0, "BP", "PB-A16");
        let wire = bench.wire("W76", "PB-A16", "VP-A1", 1.0, 4.8);
        bench.load("pump", 9.0, &["VP-A1", "BN"]);
        bench.edit(wire, |w: &mut Wire| w.drop_limit_v = limit_v);
        let (zone, unit) = (bench.zone("wet", 60.0), bench.unit("VP"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        (bench, wire)
    }

    /// 9 A × (4.8 m × 18.5 mΩ/m × (234.5 + T)/254.5 + 2 × 6 mΩ), T about 75 °C: 1.08 V.
    #[test]
    fn a_thin_long_wire_drops_too_much_and_the_next_size_that_does_is_named() {
        let report = run(&pump(Some(0.5)).0.snapshot());
        let finding = report.of("drop-over-limit").next().unwrap();
        let by_hand = |c: f64| 9.0 * (4.8 * 0.0185 * (234.5 + c) / 254.5 + 0.012);
        let drop = finding.figures[0].value;
        assert!(drop > by_hand(70.0) && drop < by_hand(80.0), "{drop}");
        let mend = finding.mend.as_ref().unwrap();
        assert!(
            mend.words.starts_with("W76: 2.5 mm², which drops 0.4"),
            "{}",
            mend.words
        );
    }

    #[test]
    fn within_the_limit_or_without_one_it_is_silent() {
        for limit in [Some(1.2), None] {
            let report = run_without_mends(&pump(limit).0.snapshot());
            assert_eq!(report.of("drop-over-limit").count(), 0);
        }
    }

    #[test]
    fn the_planned_current_counts_where_no_state_tells() {
        let (mut bench, wire) = pump(Some(0.5));
        let state = bench.state("DRIVE");
        let pump = bench.named::<Part>("pump");
        bench.set(state, pump, PartPosition::Off);
        assert_eq!(
            run_without_mends(&bench.snapshot()).of("drop-over-limit").count(),
            0
        );
        bench.edit(wire, |w: &mut Wire| w.typical_a = Some(9.0));
        assert_eq!(
            run_without_mends(&bench.snapshot()).of("drop-over-limit").count(),
            1
        );
    }

    #[test]
    fn without_a_length_it_cannot_be_checked_and_asks_at_the_unit() {
        let (mut bench, wire) = pump(Some(0.5));
        bench.edit(wire, |w: &mut Wire| w.length_m = None);
        let see = bench.snapshot();
        let report = run_without_mends(&see);
        assert_eq!(report.of("drop-over-limit").count(), 0);
        let asked: Vec<String> = report
            .cannot_check
            .iter()
            .map(|c| c.sentence(see.book()))
            .collect();
        assert!(
            asked.contains(&"cannot check: missing the length of W76 at unit VP".to_owned()),
            "{asked:?}"
        );
    }
}
