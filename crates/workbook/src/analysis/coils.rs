//! What each coil that is to pull in gets of the voltage it needs.
//!
//! Ohms and pull-in volts of a coil both follow its copper's temperature. As warm as its place it needs most; at the 20 °C of
//! its manual it draws most, so that more is lost on the way. Both are given, wires as warm as the state has them.

use crimpbook_core::conductor::copper_factor;

use super::{Snapshot, StateResult};
use crate::{
    circuit::{Given, PartRun, Stand, Wiring, operate},
    model::{Id, Part, PartKind, PartPosition},
};

/// Temperature of a coil in its manual, °C.
const MANUAL_C: f64 = 20.0;

/// A coil's voltage at one temperature of its copper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilAt {
    /// Its copper, °C.
    pub coil_c: f64,
    /// What it gets, V.
    pub gets_v: f64,
    /// What it pulls in from, V; none: not told.
    pub needs_v: Option<f64>,
}

/// A coil that is to pull in in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilVolts {
    /// The coil.
    pub part: Id<Part>,
    /// As warm as its place.
    pub warm: CoilAt,
    /// At 20 °C.
    pub cold: Option<CoilAt>,
}

impl Snapshot {
    /// Coils that are to pull in in a state, in order of ids. One that an economiser already holds is none of them.
    pub fn coils(&self, of: &StateResult) -> Vec<CoilVolts> {
        let coils: Vec<(&PartRun, f64)> = self
            .wiring()
            .parts
            .iter()
            .filter_map(|run| Some((run, self.pulls_in(of, run)?)))
            .collect();
        if coils.is_empty() {
            return Vec::new();
        }
        let cold = self.coils_at(of, MANUAL_C);
        let at = |of: &StateResult, run: &PartRun, pull_in_v: f64, coil_c: f64| {
            let [one, other] = run.ends[..] else { return None };
            Some(CoilAt {
                coil_c,
                gets_v: of.operated.between(one, other)?.abs(),
                needs_v: Some(pull_in_v * copper_factor(coil_c)).filter(|v| *v > 0.0),
            })
        };
        coils
            .into_iter()
            .filter_map(|(run, pull_in_v)| {
                Some(CoilVolts {
                    part: run.part,
                    warm: at(of, run, pull_in_v, run.ambient_c)?,
                    cold: cold.as_ref().and_then(|of| at(of, run, pull_in_v, MANUAL_C)),
                })
            })
            .collect()
    }

    /// Pull-in volts at 20 °C of a coil that is to pull in; zero where not told. None: it is not such a coil.
    fn pulls_in(&self, of: &StateResult, run: &PartRun) -> Option<f64> {
        let PartKind::Coil {
            pull_in_v, hold_a, ..
        } = self.book().get(run.part)?.kind
        else {
            return None;
        };
        let meant = match of.stands.get(run.part) {
            Stand::Given(PartPosition::Starting) => true,
            // Once an economiser has switched over, the voltage says nothing of the pull-in.
            Stand::Given(PartPosition::On) => hold_a.is_none(),
            _ => false,
        };
        meant.then(|| pull_in_v.unwrap_or(0.0))
    }

    /// A state with the copper of all coils at a temperature, wires as warm as they were.
    fn coils_at(&self, of: &StateResult, coil_c: f64) -> Option<StateResult> {
        let mut wiring: Wiring = self.wiring().clone();
        let coil = |run: &&mut PartRun| {
            let kind = self.book().get(run.part).map(|p| &p.kind);
            matches!(kind, Some(PartKind::Coil { .. }))
        };
        wiring
            .parts
            .iter_mut()
            .filter(coil)
            .for_each(|run| run.ambient_c = coil_c);
        let (ready, copper) = (&mut self.ready(), of.temperatures.copper());
        let operated = operate(
            &Given {
                book: self.book(),
                wiring: &wiring,
                stands: &of.stands,
                supply_v: of.supply_v,
            },
            ready,
            copper,
            |_, _| false,
        );
        operated.ok().map(|operated| StateResult {
            state: of.state,
            stands: of.stands.clone(),
            supply_v: of.supply_v,
            operated,
            temperatures: of.temperatures.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::{model::*, testing::Bench};

    /// A coil of 80 Ω behind 30 Ω, in 60 °C.
    #[test]
    fn a_cold_coil_gets_less_and_a_warm_one_needs_more() {
        let mut bench = Bench::new();
        let state = bench.state("DRIVE");
        bench.battery();
        bench.resistor("feed", 30.0, &["BP", "CB-A1"]);
        let coil = bench.part("coil", Bench::coil(80.0, 9.0), &["CB-A1", "BN"]);
        bench.set(state, coil, PartPosition::On);
        let (zone, unit) = (bench.zone("splash", 60.0), bench.unit("CB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        let see = bench.snapshot();
        let coils = see.coils(&see.states()[0]);
        let [one] = coils[..] else { panic!("{coils:?}") };
        let (warm, cold) = (one.warm, one.cold.unwrap());
        let hot = (234.5 + 60.0) / 254.5;
        assert!((warm.needs_v.unwrap() - 9.0 * hot).abs() < 1e-9);
        assert!((cold.needs_v.unwrap() - 9.0).abs() < 1e-9);
        // The battery of the bench is 12.6 V behind 11 mΩ.
        let gets = |ohm: f64| 12.6 * ohm / (ohm + 30.011);
        assert!((warm.gets_v - gets(80.0 * hot)).abs() < 1e-6, "{warm:?}");
        assert!((cold.gets_v - gets(80.0)).abs() < 1e-6, "{cold:?}");
        bench.set(state, coil, PartPosition::Off);
        let see = bench.snapshot();
        assert_eq!(see.coils(&see.states()[0]), []);
    }
}
