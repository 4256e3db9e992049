//! The voltages at which currents balance, by Newton's method on tangents.

use super::balance::SETTLED_V;
use super::parts::Parts;
use super::ranks::Ranks;
use crate::network::law::{Bent, Work};
use crate::network::layout::Layout;
use crate::network::sparse::Factor;
use crate::network::{ElementId, NetworkError};

/// Near enough to say whether a load finds its least voltage, volts.
const ROUGHLY_V: f64 = 1e-4;
/// But not if that is so near, volts.
const NEAR_V: f64 = 1e-2;
/// A load at rest is looked at again when its voltage rises by this, volts.
pub(crate) const AT_REST_V: f64 = 1e-3;
/// What an estimate on tangents may miss where a diode on the way ceases to carry, volts.
pub(crate) const DIODE_V: f64 = 0.7;
/// An estimate above this share of the least voltage is worth a computation.
pub(crate) const START_SHARE: f64 = 0.9;

/// One search at fixed positions.
#[derive(Debug, Clone)]
pub(crate) struct Search<'l> {
    pub(crate) layout: &'l Layout,
    pub(crate) parts: Parts,
    /// Volts of each unknown; the reference last.
    pub(crate) x: Vec<f64>,
    /// Where each bend's tangent touches.
    pub(super) tangent_v: Vec<f64>,
    /// Slope of each bend in the factor, once linearised.
    pub(crate) slope_s: Vec<f64>,
    /// What each bend does, which matters to power loads.
    pub(crate) work: Vec<Work>,
    /// Whether a power load that dropped out had enough voltage before it started.
    pub(crate) collapsed: Vec<bool>,
    pub(crate) factor: Factor,
    /// What the factor lacks.
    pub(super) ranks: Ranks,
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
            ranks: Ranks::new(&parts.ranks),
            parts,
        }
    }

    /// Settles, power loads started from nothing: each works if the voltage that it finds at switch-on and
    /// keeps at work is enough.
    pub(super) fn settle(&mut self) -> Result<(), Failure> {
        let loads = self.loads();
        if loads.is_empty() {
            return self.balance(SETTLED_V);
        }
        self.collapsed.fill(false);
        for &(at, _) in &loads {
            self.work[at] = Work::Waiting;
        }
        self.balance(ROUGHLY_V)?;
        if loads
            .iter()
            .any(|&(at, least_v)| (self.at_bend(at) - least_v).abs() < NEAR_V)
        {
            self.balance(SETTLED_V)?;
        }
        for &(at, least_v) in &loads {
            self.work[at] = if self.at_bend(at) >= least_v {
                Work::Running
            } else {
                Work::DroppedOut
            };
        }
        let top = self.x.clone();
        loop {
            let balanced = self.balance(SETTLED_V);
            let fallen = match &balanced {
                Ok(()) => self.weakest(&loads),
                // Loads at work can have no operating point at all; then the one that starts worst does not.
                Err(_) => {
                    self.x.copy_from_slice(&top);
                    let working = loads.iter().filter(|&&(at, _)| self.work[at] == Work::Running);
                    working
                        .map(|&(at, least_v)| (at, self.at_bend(at) / least_v))
                        .min_by(by_share)
                }
            };
            let Some((at, _)) = fallen else {
                if balanced.is_err() || !self.start_more(&loads) {
                    return balanced;
                }
                continue;
            };
            self.work[at] = Work::DroppedOut;
            self.collapsed[at] = true;
            // What fell with it may stand without it.
            self.x.copy_from_slice(&top);
        }
    }

    /// Settles in service: power loads go on as in `before`. Where one would not, all start from nothing.
    pub(super) fn settle_from(&mut self, before: &Search<'_>) -> Result<(), Failure> {
        let loads = self.loads();
        if loads.is_empty() {
            return self.balance(SETTLED_V);
        }
        let mut rest_v = vec![None; self.work.len()];
        for &(at, _) in &loads {
            let element = self.parts.bends[at].element;
            let Some(was) = before.bend_of(element) else {
                continue;
            };
            self.work[at] = before.work[was];
            self.collapsed[at] = before.collapsed[was];
            if before.work[was] == Work::DroppedOut {
                rest_v[at] = Some(before.at_bend(was));
            }
        }
        let starts = |search: &Self, &(at, least_v): &(usize, f64)| {
            let rose = |rest_v: f64| search.at_bend(at) - rest_v > AT_REST_V;
            rest_v[at].is_some_and(rose) && search.may_start(at, least_v)
        };
        if self.balance(SETTLED_V).is_err() || loads.iter().any(|load| starts(self, load)) {
            return self.settle();
        }
        let fallen: Vec<(usize, f64)> = loads
            .iter()
            .copied()
            .filter(|load| self.is_fallen(load))
            .collect();
        if fallen.is_empty() {
            Ok(())
        } else if self.stay_down(&fallen) {
            // Below its least voltage a load draws what it draws dropped out: the balance holds.
            for (at, _) in fallen {
                self.work[at] = Work::DroppedOut;
            }
            Ok(())
        } else {
            self.settle()
        }
    }

    /// Settles with power loads as they were in `before` but for `changed`, and none of them moving.
    pub(super) fn settle_at(
        &mut self,
        before: &Search<'_>,
        changed: &[(ElementId, Work, bool)],
    ) -> Result<(), Failure> {
        let loads = self.loads();
        for &(at, _) in &loads {
            let element = self.parts.bends[at].element;
            if let Some(was) = before.bend_of(element) {
                (self.work[at], self.collapsed[at]) = (before.work[was], before.collapsed[was]);
            }
            let change = changed.iter().find(|(id, ..)| id.index() == element);
            if let Some(&(_, work, collapsed)) = change {
                (self.work[at], self.collapsed[at]) = (work, collapsed);
            }
        }
        self.balance(SETTLED_V)?;
        if loads.iter().any(|load| self.is_fallen(load)) {
            return Err(Failure::Singular);
        }
        Ok(())
    }

    /// Whether a power load at work is below its least voltage.
    fn is_fallen(&self, &(at, least_v): &(usize, f64)) -> bool {
        self.work[at] == Work::Running && self.at_bend(at) < (1.0 - 1e-12) * least_v
    }

    /// Whether none of these loads, which have fallen, would start again even if all of them drew nothing.
    fn stay_down(&mut self, fallen: &[(usize, f64)]) -> bool {
        let (x, work) = (self.x.clone(), self.work.clone());
        for &(at, _) in fallen {
            self.work[at] = Work::Waiting;
        }
        let below = |search: &Self, margin_v: f64| {
            fallen
                .iter()
                .all(|&(at, least_v)| search.at_bend(at) < least_v - margin_v)
        };
        let stay = self.step().is_ok()
            && (below(self, DIODE_V) || self.balance(ROUGHLY_V).is_ok() && below(self, NEAR_V));
        (self.x, self.work) = (x, work);
        stay
    }

    /// Power loads with their least voltage.
    fn loads(&self) -> Vec<(usize, f64)> {
        let load = |(at, law): (usize, Bent)| match law {
            Bent::PowerLoad(law) => Some((at, law.least_v)),
            _ => None,
        };
        self.parts
            .bends
            .iter()
            .map(|bend| bend.law)
            .enumerate()
            .filter_map(load)
            .collect()
    }

    /// Starts loads that find their least voltage only through others that draw; says whether there were any.
    fn start_more(&mut self, loads: &[(usize, f64)]) -> bool {
        let mut started = false;
        for &(at, least_v) in loads {
            if self.work[at] == Work::DroppedOut && !self.collapsed[at] && self.at_bend(at) >= least_v {
                self.work[at] = Work::Running;
                started = true;
            }
        }
        started
    }

    /// The power load at work that has the least share of its least voltage, if that is too little.
    fn weakest(&self, loads: &[(usize, f64)]) -> Option<(usize, f64)> {
        loads
            .iter()
            .filter(|&&(at, _)| self.work[at] == Work::Running)
            .map(|&(at, least_v)| (at, self.at_bend(at) / least_v))
            .filter(|&(_, share)| share < 1.0 - 1e-12)
            .min_by(by_share)
    }

    /// Whether a load that has dropped out could find its least voltage, itself drawing nothing.
    fn may_start(&self, at: usize, least_v: f64) -> bool {
        let pair = self.parts.bends[at].pair;
        let mut answer = self.layout.rest();
        pair.carry(1.0, &mut answer);
        self.ranks.solve(&self.factor, &self.layout.pattern, &mut answer);
        let (u, own_ohms) = (self.at_bend(at), pair.rise(&answer));
        let relief = (1.0 - own_ohms * self.slope_s[at]).max(f64::MIN_POSITIVE);
        u / relief >= START_SHARE * least_v
    }

    /// Voltage at a bend.
    fn at_bend(&self, at: usize) -> f64 {
        self.parts.bends[at].pair.across(&self.x)
    }

    /// Position among the bends of an element.
    pub(crate) fn bend_of(&self, element: usize) -> Option<usize> {
        self.parts
            .bends
            .binary_search_by_key(&element, |bend| bend.element)
            .ok()
    }

    /// Current through each of `count` elements but ideal voltages, amperes.
    pub(crate) fn currents(&self, count: usize) -> Vec<f64> {
        let mut current_a = self.straight_currents(&self.x, count);
        for (element, law, u, work, _) in self.bends() {
            current_a[element] = law.flow(u, work).current_a;
        }
        current_a
    }

    /// The same at voltages `x`, without the bends.
    pub(crate) fn straight_currents(&self, x: &[f64], count: usize) -> Vec<f64> {
        let mut current_a = vec![0.0; count];
        // Bridges come after the elements.
        for line in self.parts.lines.iter().take_while(|line| line.element < count) {
            current_a[line.element] = line.current_a(x);
        }
        for (element, ratio) in &self.parts.ratios {
            current_a[*element] = ratio.current_a(x);
        }
        current_a
    }

    /// Change of current through each of `count` elements but ideal voltages, where voltages change by `x`.
    pub(crate) fn slopes(&self, x: &[f64], count: usize) -> Vec<f64> {
        let mut change_a = vec![0.0; count];
        for line in self.parts.lines.iter().take_while(|line| line.element < count) {
            change_a[line.element] = line.siemens * line.pair.rise(x);
        }
        for (element, ratio) in &self.parts.ratios {
            change_a[*element] = ratio.change_a(x);
        }
        for (bend, slope_s) in self.parts.bends.iter().zip(&self.slope_s) {
            change_a[bend.element] = slope_s * bend.pair.rise(x);
        }
        change_a
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
        self.bend_of(element)
            .is_some_and(|at| self.parts.bends[at].law.blocks(self.at_bend(at)))
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
        let at = self.bend_of(element)?;
        Some(
            self.parts.bends[at]
                .law
                .flow(self.at_bend(at), self.work[at])
                .current_a,
        )
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
}

fn by_share(left: &(usize, f64), right: &(usize, f64)) -> std::cmp::Ordering {
    left.1.total_cmp(&right.1)
}
