//! The voltages at which currents balance, by Newton's method on tangents.

use super::careful::stride;
use super::parts::{Bend, Parts};
use crate::network::NetworkError;
use crate::network::law::{Bent, Flow, Work};
use crate::network::layout::{Layout, Pair};
use crate::network::sparse::{Factor, Matrix};

/// Rounds of plain steps before taking care.
const PLAIN_ROUNDS: usize = 15;
/// Rounds before giving up.
const MOST_ROUNDS: usize = 300;
/// A round that changes no voltage by more than this was the last, volts.
const SETTLED_V: f64 = 1e-9;
/// The same as a share of the highest voltage.
const SETTLED_SHARE: f64 = 1e-13;

/// What rounding makes of a balance, as a share of its currents.
const ROUNDING: f64 = 1e-14;

/// One search at fixed positions.
#[derive(Debug, Clone)]
pub(crate) struct Search<'l> {
    pub(crate) layout: &'l Layout,
    pub(crate) parts: Parts,
    /// Volts of each unknown; the reference last.
    pub(crate) x: Vec<f64>,
    /// Where each bend's tangent touches.
    tangent_v: Vec<f64>,
    /// Slope of each bend in the factor, once linearised.
    pub(crate) slope_s: Vec<f64>,
    /// What each bend does, which matters to power loads.
    pub(crate) work: Vec<Work>,
    /// Whether a power load that dropped out had enough voltage before it started.
    pub(crate) collapsed: Vec<bool>,
    pub(crate) factor: Factor,
    matrix: Matrix,
}

/// An element that would not settle: its index and its last change.
#[derive(Debug, Clone, Copy)]
pub(super) struct Unsettled {
    pub(super) element: usize,
    pub(super) change_v: f64,
}

pub(super) enum Failure {
    Singular,
    Unsettled(Unsettled),
}

impl From<NetworkError> for Failure {
    fn from(_: NetworkError) -> Self {
        Self::Singular
    }
}

impl<'l> Search<'l> {
    /// A search that begins at voltages `x`, the reference last.
    pub(crate) fn new(layout: &'l Layout, parts: Parts, x: Vec<f64>) -> Self {
        let bends = parts.bends.len();
        Self {
            layout,
            x,
            tangent_v: vec![0.0; bends],
            slope_s: vec![0.0; bends],
            work: vec![Work::Running; bends],
            collapsed: vec![false; bends],
            factor: Factor::empty(&layout.pattern),
            matrix: parts.base.clone(),
            parts,
        }
    }

    /// Settles, power loads started from nothing: each works if the voltage that it finds at switch-on and
    /// keeps at work is enough.
    pub(super) fn settle(&mut self) -> Result<(), Failure> {
        let loads: Vec<(usize, f64)> = self
            .parts
            .bends
            .iter()
            .enumerate()
            .filter_map(|(at, bend)| match bend.law {
                Bent::PowerLoad(law) => Some((at, law.least_v)),
                _ => None,
            })
            .collect();
        if loads.is_empty() {
            return self.balance();
        }
        for &(at, _) in &loads {
            self.work[at] = Work::Waiting;
        }
        self.balance()?;
        for &(at, least_v) in &loads {
            let starts = self.parts.bends[at].pair.across(&self.x) >= least_v;
            self.work[at] = if starts { Work::Running } else { Work::DroppedOut };
        }
        let top = self.x.clone();
        loop {
            self.balance()?;
            let weakest = loads
                .iter()
                .filter(|&&(at, _)| self.work[at] == Work::Running)
                .map(|&(at, least_v)| (at, self.parts.bends[at].pair.across(&self.x) / least_v))
                .filter(|&(_, share)| share < 1.0 - 1e-12)
                .min_by(|left, right| left.1.total_cmp(&right.1));
            let Some((at, _)) = weakest else { return Ok(()) };
            self.work[at] = Work::DroppedOut;
            self.collapsed[at] = true;
            // What fell with it may stand without it.
            self.x.copy_from_slice(&top);
        }
    }

    /// Current through each of `count` elements but ideal voltages, amperes.
    pub(crate) fn currents(&self, count: usize) -> Vec<f64> {
        let mut current_a = vec![0.0; count];
        for line in &self.parts.lines {
            current_a[line.element] = line.current_a(&self.x);
        }
        for (element, ratio) in &self.parts.ratios {
            current_a[*element] = ratio.current_a(&self.x);
        }
        for (element, law, u, work, _) in self.bends() {
            current_a[element] = law.flow(u, work).current_a;
        }
        current_a
    }

    /// Whether an element joins nothing though it is not open.
    pub(crate) fn only_leaks(&self, element: usize) -> bool {
        if let Ok(at) = self
            .parts
            .lines
            .binary_search_by_key(&element, |line| line.element)
        {
            return self.parts.lines[at].siemens == 0.0;
        }
        let bend = self
            .parts
            .bends
            .binary_search_by_key(&element, |bend| bend.element);
        bend.is_ok_and(|at| {
            let bend = &self.parts.bends[at];
            bend.law.blocks(bend.pair.across(&self.x))
        })
    }

    /// Current of one element with a law of its own.
    pub(crate) fn current_of(&self, element: usize) -> Option<f64> {
        if let Ok(at) = self
            .parts
            .lines
            .binary_search_by_key(&element, |line| line.element)
        {
            return Some(self.parts.lines[at].current_a(&self.x));
        }
        if let Some((_, ratio)) = self.parts.ratios.iter().find(|(at, _)| *at == element) {
            return Some(ratio.current_a(&self.x));
        }
        let at = self
            .parts
            .bends
            .binary_search_by_key(&element, |bend| bend.element)
            .ok()?;
        let bend = &self.parts.bends[at];
        Some(bend.law.flow(bend.pair.across(&self.x), self.work[at]).current_a)
    }

    /// Every bend: its element, law, voltage, what it does, whether it collapsed.
    pub(crate) fn bends(&self) -> impl Iterator<Item = (usize, &Bent, f64, Work, bool)> {
        self.parts
            .bends
            .iter()
            .zip(&self.work)
            .zip(&self.collapsed)
            .map(|((bend, &work), &collapsed)| {
                (
                    bend.element,
                    &bend.law,
                    bend.pair.across(&self.x),
                    work,
                    collapsed,
                )
            })
    }

    /// Whether an element carries nothing, an open contact or one that nothing completes.
    pub(crate) fn is_open(&self, element: usize) -> bool {
        self.parts.open[element]
    }

    /// Newton's rounds.
    fn balance(&mut self) -> Result<(), Failure> {
        for (tangent, bend) in self.tangent_v.iter_mut().zip(&self.parts.bends) {
            *tangent = bend.pair.across(&self.x);
        }
        let mut step = vec![0.0; self.x.len()];
        let mut worst = Unsettled {
            element: 0,
            change_v: f64::INFINITY,
        };
        for round in 0..MOST_ROUNDS {
            let straight = self.parts.bends.is_empty() && round > 0;
            let careful = round >= PLAIN_ROUNDS;
            self.assemble(&mut step, true);
            if careful && self.is_rounding(&step) {
                return Ok(());
            }
            if !straight && !self.factor.eliminate(&self.layout.pattern, &self.matrix)? {
                // On the falling side of a power load: step as if its current did not depend on voltage.
                self.assemble(&mut step, false);
                self.factor.eliminate(&self.layout.pattern, &self.matrix)?;
            }
            self.factor.solve(&self.layout.pattern, &mut step);
            let length = if careful {
                stride(&self.parts, &self.work, &self.x, &step)
            } else {
                1.0
            };
            let mut change_v = 0.0f64;
            let mut greatest_v = 1.0f64;
            for (x, step) in self.x.iter_mut().zip(&step) {
                *x -= length * step;
                change_v = change_v.max(step.abs());
                greatest_v = greatest_v.max(x.abs());
            }
            if !change_v.is_finite() {
                return Err(Failure::Singular);
            }
            let tolerance_v = SETTLED_V + SETTLED_SHARE * greatest_v;
            worst = self.move_tangents(&step, round + 1 >= PLAIN_ROUNDS);
            if change_v <= tolerance_v && worst.change_v <= tolerance_v {
                return Ok(());
            }
        }
        Err(Failure::Unsettled(worst))
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
        for (tangent, bend) in self.tangent_v.iter_mut().zip(&self.parts.bends) {
            *tangent = bend.pair.across(&self.x);
        }
        let mut balance_a = vec![0.0; self.x.len()];
        self.assemble(&mut balance_a, true);
        self.factor.eliminate(&self.layout.pattern, &self.matrix)?;
        Ok(())
    }

    /// Moves every tangent and says which bend moved most or was farthest from where its tangent touched.
    fn move_tangents(&mut self, step: &[f64], careful: bool) -> Unsettled {
        let mut worst = Unsettled {
            element: 0,
            change_v: 0.0,
        };
        for (tangent, bend) in self.tangent_v.iter_mut().zip(&self.parts.bends) {
            let new = bend.pair.across(&self.x);
            let change_v = (new - *tangent).abs().max(bend.pair.rise(step).abs());
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

    /// Current balance on the tangents, and its derivative.
    fn assemble(&mut self, balance_a: &mut [f64], falling: bool) {
        balance_a.fill(0.0);
        self.matrix.copy_from(&self.parts.base);
        for line in &self.parts.lines {
            line.pair.carry(line.current_a(&self.x), balance_a);
        }
        for (_, ratio) in &self.parts.ratios {
            ratio.output.carry(ratio.current_a(&self.x), balance_a);
        }
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
            self.matrix.conductance(pair.tail, pair.head, pair.slot, slope_s);
            *slope = slope_s;
        }
    }
}
