//! The voltages at which currents balance, by Newton's method on tangents.

use super::careful::stride;
use super::parts::{Bend, Parts};
use crate::network::NetworkError;
use crate::network::law::{Bent, Flow, Work};
use crate::network::layout::Layout;
use crate::network::sparse::{Factor, Matrix};

/// Rounds of plain steps before taking care.
const PLAIN_ROUNDS: usize = 15;
/// Rounds before giving up.
const MOST_ROUNDS: usize = 300;
/// A round that changes no voltage by more than this was the last, volts.
const SETTLED_V: f64 = 1e-9;
/// The same as a share of the highest voltage.
const SETTLED_SHARE: f64 = 1e-13;

/// One search at fixed positions.
#[derive(Debug, Clone)]
pub(crate) struct Search<'l> {
    pub(crate) layout: &'l Layout,
    pub(super) parts: Parts,
    /// Volts of each unknown; the reference last.
    pub(crate) x: Vec<f64>,
    /// Where each bend's tangent touches.
    tangent_v: Vec<f64>,
    /// What each bend does, which matters to power loads.
    pub(super) work: Vec<Work>,
    /// Whether a power load that dropped out had enough voltage before it started.
    pub(super) collapsed: Vec<bool>,
    pub(super) factor: Factor,
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
    pub(super) fn new(layout: &'l Layout, parts: Parts, x: Vec<f64>) -> Self {
        let bends = parts.bends.len();
        Self {
            layout,
            x,
            tangent_v: vec![0.0; bends],
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

    /// The unknown that stands for the piece of another.
    pub(crate) fn piece(&self, unknown: u32) -> u32 {
        self.parts.piece[unknown as usize]
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
            self.assemble(&mut step, true);
            if !straight && !self.factor.eliminate(&self.layout.pattern, &self.matrix)? {
                // On the falling side of a power load: step as if its current did not depend on voltage.
                self.assemble(&mut step, false);
                self.factor.eliminate(&self.layout.pattern, &self.matrix)?;
            }
            self.factor.solve(&self.layout.pattern, &mut step);
            let careful = round >= PLAIN_ROUNDS;
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
            worst = self.move_tangents(&step, careful);
            if change_v <= tolerance_v && worst.change_v <= tolerance_v {
                return Ok(());
            }
        }
        Err(Failure::Unsettled(worst))
    }

    /// Moves every tangent and says which bend moved most or was farthest from where its tangent touched.
    fn move_tangents(&mut self, step: &[f64], careful: bool) -> Unsettled {
        let mut worst = Unsettled {
            element: 0,
            change_v: 0.0,
        };
        for (tangent, bend) in self.tangent_v.iter_mut().zip(&self.parts.bends) {
            let new = bend.pair.across(&self.x);
            *tangent = if careful {
                new
            } else {
                bend.law.next_tangent(new, *tangent)
            };
            let change_v = (new - *tangent).abs().max(bend.pair.rise(step).abs());
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
        for ((Bend { pair, law, .. }, &tangent), &work) in
            self.parts.bends.iter().zip(&self.tangent_v).zip(&self.work)
        {
            let Flow {
                current_a,
                mut slope_s,
            } = law.flow(tangent, work);
            if slope_s >= 0.0 || !falling {
                slope_s = slope_s.max(law.least_slope_s());
            }
            pair.carry(current_a + slope_s * (pair.across(&self.x) - tangent), balance_a);
            self.matrix.conductance(pair.tail, pair.head, pair.slot, slope_s);
        }
    }
}
