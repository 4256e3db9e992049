//! Newton's rounds.

use super::careful::stride;
use super::parts::Bend;
use super::search::{Failure, Search, Unsettled};
use crate::network::NetworkError;
use crate::network::law::Flow;
use crate::network::layout::Pair;

/// Rounds of plain steps before taking care.
const PLAIN_ROUNDS: usize = 15;
/// Rounds before giving up.
const MOST_ROUNDS: usize = 150;
/// A round that changes no voltage by more than this was the last, volts.
pub(super) const SETTLED_V: f64 = 1e-9;
/// The same as a share of the highest voltage.
const SETTLED_SHARE: f64 = 1e-13;
/// A smaller slope does not make a missed current weigh more, siemens.
const LEAST_SLOPE_S: f64 = 1e-9;
/// The same in multiples of the slope that steers where a law is flat: a hundredth of the element's own, since
/// what feeds it is seldom more than a hundred times the ohms it would have.
const FLAT: f64 = 1e7;
/// A longer step leaves rounding that matters, volts.
const REFINED_V: f64 = 1e-4;
/// What rounding makes of a balance, as a share of its currents.
const ROUNDING: f64 = 1e-14;

impl Search<'_> {
    /// Balances the currents until no voltage changes by more than `settled_v`.
    pub(super) fn balance(&mut self, settled_v: f64) -> Result<(), Failure> {
        self.touch();
        let mut step = vec![0.0; self.x.len()];
        let mut worst = Unsettled {
            element: 0,
            change_v: f64::INFINITY,
        };
        let mut refines = false;
        for round in 0..MOST_ROUNDS {
            let careful = round >= PLAIN_ROUNDS;
            self.assemble(&mut step, true);
            if careful && self.is_rounding(&step) {
                return Ok(());
            }
            if !refines && !self.eliminate()? {
                // On the falling side of a power load: step as if its current did not depend on voltage.
                self.assemble(&mut step, false);
                self.eliminate()?;
            }
            self.ranks.solve(&self.factor, &self.layout.pattern, &mut step);
            let length = if careful {
                stride(&self.parts, &self.work, &self.x, &step)
            } else {
                1.0
            };
            let mut change_v = 0.0f64;
            let mut greatest_v = 1.0f64;
            for (x, step) in self.x.iter_mut().zip(&step) {
                *x -= length * step;
                // Written out, since the library's maximum takes care of what is no number and is slow.
                change_v = if step.abs() > change_v {
                    step.abs()
                } else {
                    change_v
                };
                greatest_v = if x.abs() > greatest_v { x.abs() } else { greatest_v };
            }
            if !change_v.is_finite() {
                return Err(Failure::Singular);
            }
            let tolerance_v = settled_v + SETTLED_SHARE * greatest_v;
            worst = self.move_tangents(round + 1 >= PLAIN_ROUNDS);
            // After a whole step currents balance on the tangents; what is left is what laws differ from them.
            let settled = worst.change_v <= tolerance_v && length == 1.0;
            if settled && change_v <= REFINED_V {
                return Ok(());
            }
            // A long step is rounded: one more with the same factor takes that away.
            refines = settled;
        }
        Err(Failure::Unsettled(worst))
    }

    /// One step on the tangents at the present voltages.
    pub(super) fn step(&mut self) -> Result<(), NetworkError> {
        self.touch();
        let mut step = self.layout.rest();
        self.assemble(&mut step, true);
        self.eliminate()?;
        self.ranks.solve(&self.factor, &self.layout.pattern, &mut step);
        for (x, step) in self.x.iter_mut().zip(&step) {
            *x -= step;
        }
        Ok(())
    }

    /// Factorises with the slopes of the tangents, and says whether an operating point there could last.
    fn eliminate(&mut self) -> Result<bool, NetworkError> {
        let matrix = self.factor.load(&self.layout.pattern, &self.parts.base)?;
        for (Bend { pair, .. }, &slope_s) in self.parts.bends.iter().zip(&self.slope_s) {
            matrix.conductance(pair.tail, pair.head, pair.slot, slope_s);
        }
        let stable = self.factor.eliminate(&self.layout.pattern)?;
        Ok(self.ranks.eliminate(&self.factor, &self.layout.pattern)? && stable)
    }

    /// Whether what is missing in the balance is what rounding makes of its currents. A part that hangs on a
    /// leakage alone never comes nearer.
    fn is_rounding(&self, balance_a: &[f64]) -> bool {
        let mut size_a = vec![f64::MIN_POSITIVE; balance_a.len()];
        let mut add = |pair: &Pair, current_a: f64| {
            size_a[pair.tail as usize] += current_a.abs();
            size_a[pair.head as usize] += current_a.abs();
        };
        for line in &self.parts.lines {
            add(&line.pair, line.current_a(&self.x).abs() + line.constant_a.abs());
        }
        for (_, ratio) in &self.parts.ratios {
            add(&ratio.output, ratio.current_a(&self.x));
        }
        for (bend, &work) in self.parts.bends.iter().zip(&self.work) {
            add(
                &bend.pair,
                bend.law.flow(bend.pair.across(&self.x), work).current_a,
            );
        }
        let held = self.layout.joints.count;
        balance_a[..held]
            .iter()
            .zip(&size_a)
            .all(|(left, size)| left.abs() <= ROUNDING * size)
    }

    /// Factorises at the voltages found.
    pub(crate) fn linearise(&mut self) -> Result<(), NetworkError> {
        self.touch();
        let mut balance_a = self.layout.rest();
        self.assemble(&mut balance_a, true);
        self.eliminate()?;
        Ok(())
    }

    /// Has every tangent touch where the voltages are.
    fn touch(&mut self) {
        for (tangent, bend) in self.tangent_v.iter_mut().zip(&self.parts.bends) {
            *tangent = bend.pair.across(&self.x);
        }
    }

    /// Moves every tangent and says which bend was farthest from its law, as a voltage there.
    fn move_tangents(&mut self, careful: bool) -> Unsettled {
        let mut worst = Unsettled {
            element: 0,
            change_v: 0.0,
        };
        let bends = self.parts.bends.iter().zip(&self.work).zip(&self.slope_s);
        for (tangent, ((bend, &work), &slope_used_s)) in self.tangent_v.iter_mut().zip(bends) {
            let new = bend.pair.across(&self.x);
            let on_tangent_a = bend.law.flow(*tangent, work).current_a + slope_used_s * (new - *tangent);
            let law = bend.law.flow(new, work);
            // Where a law has a corner, a small step can lead to a much smaller slope.
            let least_s = (FLAT * bend.law.steering_s()).max(LEAST_SLOPE_S);
            let slope_s = slope_used_s.abs().min(law.slope_s.abs()).max(least_s);
            let rounding_a = ROUNDING * (law.current_a.abs() + slope_used_s.abs() * new.abs());
            let change_v = ((law.current_a - on_tangent_a).abs() - rounding_a).max(0.0) / slope_s;
            // Careful rounds take tangents where the voltages are.
            *tangent = if careful {
                new
            } else {
                bend.law.next_tangent(new, *tangent)
            };
            if change_v > worst.change_v {
                worst = Unsettled {
                    element: bend.element,
                    change_v,
                };
            }
        }
        worst
    }

    /// Adds what leaves each unknown by all but the bends, at voltages `x`.
    pub(crate) fn straight_balance(&self, x: &[f64], balance_a: &mut [f64]) {
        for line in &self.parts.lines {
            line.pair.carry(line.current_a(x), balance_a);
        }
        for (_, ratio) in &self.parts.ratios {
            ratio.output.carry(ratio.current_a(x), balance_a);
        }
    }

    /// Current balance on the tangents, and their slopes.
    fn assemble(&mut self, balance_a: &mut [f64], falling: bool) {
        balance_a.fill(0.0);
        self.straight_balance(&self.x, balance_a);
        for (((Bend { pair, law, .. }, &tangent), &work), slope) in self
            .parts
            .bends
            .iter()
            .zip(&self.tangent_v)
            .zip(&self.work)
            .zip(&mut self.slope_s)
        {
            let Flow {
                current_a,
                mut slope_s,
            } = law.flow(tangent, work);
            if slope_s == 0.0 || (slope_s < 0.0 && !falling) {
                slope_s = law.steering_s();
            }
            pair.carry(current_a + slope_s * (pair.across(&self.x) - tangent), balance_a);
            *slope = slope_s;
        }
    }
}
