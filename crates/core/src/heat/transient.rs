//! How long a wire takes to get too warm: two masses, copper and insulation, joined by the insulation's thermal
//! resistance; the copper's resistance rises with its temperature; the same outer losses as in the steady state. One
//! model from milliseconds to hours, with no switch-over between formulas.
//!
//! In a bundle the ways out (through the insulation and from its surface) are narrowed by the square of the bundle
//! factor: the wire ends at the steady temperature of its bundle, and a short fault does not notice the neighbours.

use super::wire::WireHeat;

/// Temperatures of the two masses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireState {
    /// Conductor in °C.
    pub conductor_c: f64,
    /// Insulation in °C.
    pub insulation_c: f64,
}

/// Nothing is followed for longer: a thick wire has settled by then.
const LONGEST_S: f64 = 24.0 * 3600.0;
/// Error allowed in a step, in K, and as a share of the step's rise.
const STEP_ERROR_K: f64 = 0.02;
/// Where a wire settles only just above a limit, a small error in its temperature is a large one in the time it takes there:
/// no more than this share of what it settles above.
const STEP_ERROR_OF_GAP: f64 = 0.01;
/// No step is asked for more than this, K.
const LEAST_ERROR_K: f64 = 1e-4;
const STEP_ERROR_SHARE: f64 = 6e-4;
/// No step is shorter: a million amperes in the thinnest wire leave a thousand of them.
const SHORTEST_STEP_S: f64 = 1e-15;
/// A guard against a step that never grows; a run takes fewer than two hundred.
const MOST_STEPS: usize = 20_000;

impl WireHeat {
    /// The state in which a running current leaves the wire for ever. None: that current has no balance.
    pub fn running_state(&self, current_a: f64) -> Option<WireState> {
        match self.steady(current_a) {
            super::Steady::Settles {
                conductor_c,
                surface_c,
            } => Some(WireState {
                conductor_c,
                insulation_c: surface_c,
            }),
            super::Steady::Melts => None,
        }
    }

    /// Seconds until the conductor gets to each of these temperatures in °C, at a current in A that stays. None: it
    /// does not get there (within a day).
    pub fn times_to<const N: usize>(
        &self,
        current_a: f64,
        from: WireState,
        limits_c: [f64; N],
    ) -> [Option<f64>; N] {
        let mut times = limits_c.map(|limit_c| (from.conductor_c >= limit_c).then_some(0.0));
        let settles_c = self.steady(current_a).conductor_c();
        let waiting = |times: &[Option<f64>; N]| {
            let ahead = limits_c
                .iter()
                .zip(times)
                .filter(|(limit_c, t)| t.is_none() && **limit_c < settles_c);
            ahead
                .map(|(limit_c, _)| *limit_c)
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let highest_c = waiting(&times);
        if highest_c == f64::NEG_INFINITY || !self.is_sound() {
            return times;
        }
        let mut run = Run::new(self, current_a, from, highest_c);
        run.error_k = (STEP_ERROR_OF_GAP * (settles_c - highest_c)).clamp(LEAST_ERROR_K, STEP_ERROR_K);
        for _ in 0..MOST_STEPS {
            let step = run.step();
            for (time, limit_c) in times.iter_mut().zip(limits_c) {
                if time.is_none() && step.to.conductor_c >= limit_c {
                    *time = Some(step.when(limit_c));
                }
            }
            if step.to.conductor_c >= highest_c || run.time_s >= LONGEST_S {
                break;
            }
        }
        times
    }
}

/// One step taken, with the slopes at its ends.
struct Step {
    start_s: f64,
    length_s: f64,
    from: WireState,
    to: WireState,
    from_slope: f64,
    to_slope: f64,
}

impl Step {
    /// When the conductor passed a temperature within this step: on the cubic through its ends and slopes.
    fn when(&self, limit_c: f64) -> f64 {
        let cubic = |x: f64| {
            let (x2, x3) = (x * x, x * x * x);
            self.from.conductor_c * (2.0 * x3 - 3.0 * x2 + 1.0)
                + self.length_s * self.from_slope * (x3 - 2.0 * x2 + x)
                + self.to.conductor_c * (3.0 * x2 - 2.0 * x3)
                + self.length_s * self.to_slope * (x3 - x2)
        };
        let share = super::root::falling_root(0.0, 1.0, 1e-9, |x| limit_c - cubic(x));
        self.start_s + share * self.length_s
    }
}

/// Follows the two temperatures by the linearly implicit formula of Shampine and Reichelt (second order, with an
/// error estimate of third order; stable at any step length).
struct Run<'a> {
    wire: &'a WireHeat,
    /// I²·R per kelvin above −234.5 °C, in W/(m·K).
    made_w_per_m_k: f64,
    /// From copper to insulation, in W/(m·K).
    joint_w_per_m_k: f64,
    /// Share of the free-air losses that the bundle lets through.
    open: f64,
    copper_j: f64,
    insulation_j: f64,
    /// Error allowed in a step, in K.
    error_k: f64,
    time_s: f64,
    step_s: f64,
    state: WireState,
    slope: [f64; 2],
}

impl<'a> Run<'a> {
    fn new(wire: &'a WireHeat, current_a: f64, state: WireState, highest_c: f64) -> Self {
        let open = wire.bundle_factor * wire.bundle_factor;
        let mut run = Self {
            wire,
            made_w_per_m_k: current_a * current_a * wire.ohm_per_m_k(),
            joint_w_per_m_k: open / wire.insulation_k_m_per_w(),
            open,
            copper_j: wire.copper_j_per_k_m(),
            insulation_j: wire.insulation_j_per_k_m(),
            error_k: STEP_ERROR_K,
            time_s: 0.0,
            step_s: 0.0,
            state,
            slope: [0.0; 2],
        };
        run.slope = run.slopes(state);
        // Begin with a hundredth of the time the copper alone would need.
        run.step_s = (highest_c - state.conductor_c) / run.slope[0].max(1e-6) / 100.0;
        run
    }

    fn slopes(&self, at: WireState) -> [f64; 2] {
        self.slopes_with(at, self.wire.loss_w_per_m(at.insulation_c))
    }

    fn slopes_with(&self, at: WireState, loss_w_per_m: f64) -> [f64; 2] {
        let passed = self.joint_w_per_m_k * (at.conductor_c - at.insulation_c);
        let made = self.made_w_per_m_k * (234.5 + at.conductor_c);
        [
            (made - passed) / self.copper_j,
            (passed - self.open * loss_w_per_m) / self.insulation_j,
        ]
    }

    /// Takes one step that is good enough, and chooses the next one's length.
    fn step(&mut self) -> Step {
        const D: f64 = 0.292_893_218_813_452_5; // 1/(2 + √2)
        const E32: f64 = 7.414_213_562_373_095; // 6 + √2
        let from = self.state;
        let f0 = self.slope;
        let here = self.wire.loss_w_per_m(from.insulation_c);
        let loss_slope = (self.wire.loss_w_per_m(from.insulation_c + 0.01) - here) / 0.01;
        loop {
            let h = self.step_s;
            let hd = h * D;
            // W = 1 − h·d·J of the two equations.
            let a = 1.0 - hd * (self.made_w_per_m_k - self.joint_w_per_m_k) / self.copper_j;
            let b = -hd * self.joint_w_per_m_k / self.copper_j;
            let c = -hd * self.joint_w_per_m_k / self.insulation_j;
            let d = 1.0 + hd * (self.joint_w_per_m_k + self.open * loss_slope) / self.insulation_j;
            let det = a * d - b * c;
            let solve = |r: [f64; 2]| [(r[0] * d - b * r[1]) / det, (a * r[1] - c * r[0]) / det];
            let moved = |k: [f64; 2], by: f64| WireState {
                conductor_c: from.conductor_c + by * k[0],
                insulation_c: from.insulation_c + by * k[1],
            };

            let k1 = solve(f0);
            let f1 = self.slopes(moved(k1, h / 2.0));
            let k2 = solve([f1[0] - k1[0], f1[1] - k1[1]]);
            let k2 = [k2[0] + k1[0], k2[1] + k1[1]];
            let to = moved(k2, h);
            let f2 = self.slopes(to);
            let rest = |i: usize| f2[i] - E32 * (k2[i] - f1[i]) - 2.0 * (k1[i] - f0[i]);
            let k3 = solve([rest(0), rest(1)]);
            let error = |i: usize| h / 6.0 * (k1[i] - 2.0 * k2[i] + k3[i]).abs();
            let allowed = |i: usize| self.error_k + STEP_ERROR_SHARE * (h * k2[i]).abs();
            let ratio = (error(0) / allowed(0)).max(error(1) / allowed(1));
            // A determinant that is not positive means that the step outran a runaway.
            let good = ratio <= 1.0 && det > 0.0;
            let tiny = h <= SHORTEST_STEP_S;
            let grow = if det > 0.0 {
                (0.8 / ratio.cbrt()).clamp(0.2, 4.0)
            } else {
                0.2
            };
            self.step_s = (h * grow).max(SHORTEST_STEP_S);
            if good || tiny {
                let step = Step {
                    start_s: self.time_s,
                    length_s: h,
                    from,
                    to,
                    from_slope: f0[0],
                    to_slope: f2[0],
                };
                self.time_s += h;
                self.state = to;
                self.slope = f2;
                return step;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::{ConductorTable, ideal_ohm_per_m};
    use crate::heat::{ThermalWire, adiabatic_time_s, copper};
    use crate::tables::insulation::insulations;
    use proptest::prelude::*;

    fn wire(size: &str, ambient_c: f64, bundle_factor: f64) -> WireHeat {
        let pvc = &insulations()[0];
        let size = size.parse().unwrap();
        ThermalWire::from_tables(&size, ConductorTable::Iso6722, pvc, ambient_c, bundle_factor).heat
    }

    fn both_at(temp_c: f64) -> WireState {
        WireState {
            conductor_c: temp_c,
            insulation_c: temp_c,
        }
    }

    fn time(wire: &WireHeat, current_a: f64, from_c: f64, to_c: f64) -> Option<f64> {
        wire.times_to(current_a, both_at(from_c), [to_c])[0]
    }

    /// IEC 60949, adiabatic: with an insulation that takes no heat the two agree, over a range of 1 to 10⁴ in time.
    #[test]
    fn without_the_insulations_share_the_time_is_the_adiabatic_one() {
        let mut bare = wire("1.5", 40.0, 1.0);
        bare.ohm_per_m_20 = ideal_ohm_per_m(bare.area_mm2);
        bare.insulation.thermal_resistivity_k_m_per_w = 1e15;
        for current_a in [30.0, 150.0, 600.0, 3000.0] {
            for (from_c, to_c) in [(40.0, 160.0), (70.0, 160.0), (90.0, 250.0)] {
                let expected = adiabatic_time_s(copper(), bare.area_mm2, current_a, from_c, to_c);
                let got = time(&bare, current_a, from_c, to_c).unwrap();
                assert!(
                    (got / expected - 1.0).abs() < 1e-3,
                    "{current_a} A: {got} s against {expected} s"
                );
            }
        }
    }

    /// A second way to the same answer: the same two equations by plain small steps.
    #[test]
    fn long_steps_agree_with_short_ones() {
        for (size, current_a, factor) in [("0.35", 13.5, 0.7), ("1.5", 60.0, 1.0), ("10", 160.0, 0.7)] {
            let wire = wire(size, 60.0, factor);
            let open = factor * factor;
            let (c1, c2) = (wire.copper_j_per_k_m(), wire.insulation_j_per_k_m());
            let (mut t1, mut t2, mut at) = (60.0, 60.0, 0.0);
            let step = 2e-4;
            while t1 < 155.0 {
                let passed = open * (t1 - t2) / wire.insulation_k_m_per_w();
                let made = current_a * current_a * wire.ohm_per_m_20 * (234.5 + t1) / 254.5;
                let lost = open * wire.loss_w_per_m(t2);
                t1 += step * (made - passed) / c1;
                t2 += step * (passed - lost) / c2;
                at += step;
            }
            let got = time(&wire, current_a, 60.0, 155.0).unwrap();
            assert!(
                (got / at - 1.0).abs() < 2e-3,
                "{size} mm²: {got} s against {at} s"
            );
        }
    }

    #[test]
    fn what_stays_below_never_gets_there() {
        let wire = wire("1.5", 60.0, 1.0);
        assert_eq!(time(&wire, 10.0, 60.0, 105.0), None);
        assert_eq!(time(&wire, 200.0, 60.0, 50.0), Some(0.0));
        let allowed = wire.allowed_current_a(105.0);
        assert_eq!(time(&wire, allowed * 0.999, 60.0, 105.0), None);
        assert!(time(&wire, allowed * 1.01, 60.0, 105.0).is_some_and(|t| t > 60.0));
        let [low, high] = wire.times_to(100.0, both_at(60.0), [105.0, 155.0]);
        assert!(low < high);
    }

    /// However absurd the current, the time is the adiabatic one and never "never".
    #[test]
    fn absurd_currents_are_fast_not_never() {
        let wire = wire("0.35", 40.0, 1.0);
        let ideal = ideal_ohm_per_m(wire.area_mm2);
        let effective_mm2 = wire.area_mm2 * (ideal / wire.ohm_per_m_20).sqrt();
        for current_a in [1e3, 1e4, 1e5, 1e6] {
            let got = time(&wire, current_a, 40.0, 160.0).unwrap();
            let expected = adiabatic_time_s(copper(), effective_mm2, current_a, 40.0, 160.0);
            assert!(
                (got / expected - 1.0).abs() < 0.01,
                "{current_a} A: {got} s against {expected} s"
            );
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        /// Copper and insulation as one mass of one temperature take longer: the two-mass model is on the safe side.
        #[test]
        fn two_masses_are_never_later_than_one(
            at in 2_usize..15, times_allowed in 1.05_f64..40.0, ambient in 0.0_f64..80.0, factor in 0.4_f64..1.0,
        ) {
            let size = crate::tables::conductors::iso6722()[at].size_mm2;
            let wire = wire(&format!("{size} mm2"), ambient, factor);
            let current_a = wire.allowed_current_a(155.0) * times_allowed;
            let heat = wire.copper_j_per_k_m() + wire.insulation_j_per_k_m();
            let (mut temp, mut lumped) = (ambient, 0.0);
            while temp < 155.0 {
                let made = current_a * current_a * wire.ohm_per_m_20 * (234.5 + temp) / 254.5;
                let slope = (made - factor * factor * wire.loss_w_per_m(temp)) / heat;
                // As one mass it may never get there at all.
                let step = if slope > 0.0 { 0.2 / slope } else { f64::INFINITY };
                (temp, lumped) = (temp + 0.2, lumped + step);
            }
            let two = time(&wire, current_a, ambient, 155.0);
            prop_assert!(two.is_some_and(|t| t <= lumped * 1.005), "{two:?} s against {lumped} s");
        }

        /// More current is never slower, and never faster than the copper alone.
        #[test]
        fn more_current_is_faster(at in 2_usize..15, a in 1.2_f64..30.0, more in 1.02_f64..3.0) {
            let size = crate::tables::conductors::iso6722()[at].size_mm2;
            let wire = wire(&format!("{size} mm2"), 40.0, 1.0);
            let current_a = wire.allowed_current_a(160.0) * a;
            let slow = time(&wire, current_a, 40.0, 160.0).unwrap();
            let fast = time(&wire, current_a * more, 40.0, 160.0).unwrap();
            prop_assert!(fast < slow);
            let effective_mm2 = wire.area_mm2 * (ideal_ohm_per_m(wire.area_mm2) / wire.ohm_per_m_20).sqrt();
            let alone = adiabatic_time_s(copper(), effective_mm2, current_a, 40.0, 160.0);
            prop_assert!(slow >= alone * 0.998, "{slow} {alone}");
        }
    }
}
