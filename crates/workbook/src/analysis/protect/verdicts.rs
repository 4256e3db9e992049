//! Verdicts on wires beneath fuses that were reached before: the same figures get the same verdict, in this snapshot and
//! in the next.

use std::{collections::HashMap, sync::Mutex};

use crimpbook_core::{
    fuse::{Grade, Overload, WireBelow, WireOverload, overload},
    heat::{adiabatic_time_s, copper},
};

use super::Beneath;

/// Every figure that a verdict depends on, as bits.
type Figures = [u64; 17];

/// Verdicts by the figures they rest on.
#[derive(Debug, Default)]
pub struct Verdicts(Mutex<HashMap<Figures, WireOverload>>);

/// Copper of the wire's own resistance, Ω·mm²/m at 20 °C.
const OHM_MM2_PER_M: f64 = 0.017_241;
/// Share of the rise that the adiabatic bound may use, so that a limit lower by 3 % changes nothing.
const SHORT_OF_LIMIT: f64 = 0.95;

impl Verdicts {
    /// Core's verdict on a fuse with the wires beneath it; wires whose figures were judged before are not judged again.
    pub fn overload(&self, beneath: &Beneath) -> Overload {
        let judge = |at: usize, wire: &WireBelow| {
            let figures = figures(beneath, wire);
            let known = self.0.lock().ok().and_then(|known| known.get(&figures).cloned());
            let verdict = known.or_else(|| {
                let one = std::slice::from_ref(wire);
                let verdict = overload(&beneath.fuse, one, beneath.prospective_a).wires.pop()?;
                if let Ok(mut known) = self.0.lock() {
                    known.insert(figures, verdict.clone());
                }
                Some(verdict)
            })?;
            Some(WireOverload { wire: at, ..verdict })
        };
        // The frame (basis, opening current) comes from core with no wire to judge.
        let mut whole = overload(&beneath.fuse, &[], beneath.prospective_a);
        for (at, wire) in beneath.wires.iter().enumerate() {
            whole.wires.extend(judge(at, wire));
            for source in &wire.basis {
                if !whole.basis.contains(source) {
                    whole.basis.push(source.clone());
                }
            }
        }
        whole.wires.sort_by(|a, b| b.lasting_c.total_cmp(&a.lasting_c));
        whole.grade = whole.wires.iter().map(|w| w.grade).max().unwrap_or(Grade::Good);
        whole
    }
}

fn figures(beneath: &Beneath, wire: &WireBelow) -> Figures {
    let (fuse, heat, limits) = (&beneath.fuse, &wire.heat, &wire.limits);
    let figures = [
        fuse.kind as u8 as f64,
        fuse.rating_a,
        beneath.prospective_a.unwrap_or(-1.0),
        heat.area_mm2,
        heat.ohm_per_m_20,
        heat.outside_diameter_mm,
        heat.insulation.thermal_resistivity_k_m_per_w,
        heat.insulation.volumetric_heat_j_per_k_m3,
        heat.ambient_c,
        heat.bundle_factor,
        limits.class_c,
        limits.overload_c,
        limits.overload_s,
        limits.short_circuit_c,
        wire.running_a,
        f64::from(u8::from(wire.can_draw_overload)),
        wire.current_limited_a.unwrap_or(-1.0),
    ];
    figures.map(f64::to_bits)
}

/// Whether a far-end fault opens the fuse long before the wire is hurt even if no heat left it: no more need be computed.
pub fn opens_at_once(beneath: &Beneath, wire: &WireBelow) -> bool {
    let Some(fault_a) = wire.far_end_fault_a.filter(|a| *a > 0.0) else {
        return false;
    };
    let longest_s = beneath.fuse.longest_s(fault_a);
    let limits = &wire.limits;
    let runs_cool = wire.running_a <= wire.heat.allowed_current_a(limits.class_c) * SHORT_OF_LIMIT;
    // A strand bundle of more resistance than its area says has as little copper as that.
    let area_mm2 = wire.heat.area_mm2.min(OHM_MM2_PER_M / wire.heat.ohm_per_m_20);
    let to_c = limits.class_c + (limits.short_circuit_c - limits.class_c) * SHORT_OF_LIMIT
        - limits.short_circuit_c * 0.03;
    let bears_s = adiabatic_time_s(copper(), area_mm2, fault_a, limits.class_c, to_c);
    runs_cool && longest_s <= limits.short_circuit_s && longest_s <= bears_s
}

#[cfg(test)]
mod tests {
    use crimpbook_core::fuse::{FarEndOutcome, far_end};

    use super::*;
    use crate::{
        analysis::protect::{Trial, beneath},
        model::*,
        testing::Bench,
    };

    fn bench(rating_a: f64, length_m: f64) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("XA"));
        let fuse = bench.fuse_way("F1", rating_a, "BP", "PB-A1");
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        for (n, mm2) in [0.35, 0.5, 1.0, 2.5].into_iter().enumerate() {
            bench.wire(&format!("W{n}"), "PB-A1", &format!("XA-A{n}"), mm2, length_m);
        }
        bench
    }

    #[test]
    fn remembered_verdicts_are_cores_own() {
        let see = bench(10.0, 2.0).snapshot();
        let beneath = beneath(&see, &see.protection().zones[0], &Trial::default()).unwrap();
        let core = overload(&beneath.fuse, &beneath.wires, beneath.prospective_a);
        let verdicts = Verdicts::default();
        assert_eq!(verdicts.overload(&beneath), core);
        assert_eq!(verdicts.overload(&beneath), core, "from memory");
    }

    #[test]
    fn what_opens_at_once_opens_in_time_by_core_too() {
        let mut at_once = 0;
        for (rating_a, length_m) in [(3.0, 1.0), (10.0, 2.0), (15.0, 8.0), (30.0, 3.0), (30.0, 20.0)] {
            let see = bench(rating_a, length_m).snapshot();
            let beneath = beneath(&see, &see.protection().zones[0], &Trial::default()).unwrap();
            for wire in &beneath.wires {
                if opens_at_once(&beneath, wire) {
                    at_once += 1;
                    let verdict = far_end(&beneath.fuse, wire);
                    assert_eq!(verdict.outcome, FarEndOutcome::OpensInTime);
                    assert_eq!(verdict.grade, Grade::Good);
                }
            }
        }
        assert!(at_once > 5, "{at_once}");
    }
}
