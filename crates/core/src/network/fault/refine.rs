//! Digits that an update has lost, brought back.

use super::currents::Currents;
use super::round::Round;

/// Equations with a lesser pivot lose digits that matter.
const LESS_PIVOT: f64 = 1e-2;
/// Balancing currents ends where it changes no voltage by more, volts,
const RIGHT_V: f64 = 1e-8;
/// or after so many times.
const MOST_TIMES: usize = 6;

impl Currents<'_> {
    /// The voltages that the currents make. Where equations nearly cancelled, as when what holds a node is
    /// taken away but for a trace, currents are balanced anew from there; nothing where that does not end, as at the corner of a law.
    pub(super) fn voltages(&self, round: &Round) -> Option<Vec<f64>> {
        let mut x = self.spread(round);
        if round.equations.least_pivot >= LESS_PIVOT {
            return Some(x);
        }
        for _ in 0..MOST_TIMES {
            let left_a = self.balance(&x);
            let mut most_v = 0.0f64;
            for (x, change) in x.iter_mut().zip(self.answer(round, left_a)) {
                *x -= change;
                most_v = most_v.max(change.abs());
            }
            if most_v <= RIGHT_V {
                return Some(x);
            }
        }
        None
    }

    /// What leaves each unknown at voltages `x`, with the fault.
    fn balance(&self, x: &[f64]) -> Vec<f64> {
        let search = &self.faults.point.settled.search;
        let mut balance_a = search.layout.rest();
        search.straight_balance(x, &mut balance_a);
        for beside in self.besides.iter().filter(|beside| !beside.is_tie) {
            let current_a = beside.siemens * beside.rise(x) + beside.constant_a;
            beside.pair.carry(current_a, &mut balance_a);
        }
        for (port, bend) in self.faults.ports.bends.iter().enumerate() {
            if !self.loose.iter().any(|loose| loose.dead && loose.port == port) {
                let flow = bend.law.flow(bend.pair.across(x), self.work(port));
                bend.pair.carry(flow.current_a, &mut balance_a);
            }
        }
        balance_a
    }

    /// What currents into the faulted network make of its voltages, bends on their tangents.
    fn answer(&self, round: &Round, mut x: Vec<f64>) -> Vec<f64> {
        let search = &self.faults.point.settled.search;
        search.factor.solve(&search.layout.pattern, &mut x);
        let bends = &self.faults.ports.bends;
        let loose = self.loose.iter().map(|loose| bends[loose.port].pair);
        let rises = self.besides.iter().map(|beside| beside.rise(&x));
        let rises: Vec<f64> = rises.chain(loose.map(|pair| pair.rise(&x))).collect();
        let through = round.equations.solve(&rises);
        let through = through.iter().zip(&round.slope_s);
        let through: Vec<f64> = through.map(|(rise, slope_s)| slope_s * rise).collect();
        for (x, back) in x.iter_mut().zip(self.change(&through, std::iter::empty())) {
            *x -= back;
        }
        x
    }
}
