//! The currents that a fault sets beside the network.
//!
//! With the network factorised at its operating point, a changed branch is the same branch and beside it a
//! current that makes up the difference; so is an element that bends, once it leaves its tangent. Those
//! currents are few. They follow from as many equations, whose solution gives every voltage at once.

use super::Faults;
use super::dense::Dense;
use super::ports::BendPort;
use crate::network::law::{Bent, Flow, Work};
use crate::network::layout::Pair;

/// More unknowns than this are dearer than a new factor.
const MOST_UNKNOWNS: usize = 48;
/// Rounds before a solution from nothing.
const MOST_ROUNDS: usize = 30;
/// A bend stays on its tangent while that changes no voltage there by more, volts.
const ON_TANGENT_V: f64 = 1e-9;
/// A current that is rounding, amperes.
const ROUNDING_A: f64 = 1e-16;
/// A load at rest is looked at again when its voltage moves by this, volts.
const AT_REST_V: f64 = 1e-3;

/// A current beside a branch: `siemens · rise + constant_a`.
struct Beside {
    pair: Pair,
    siemens: f64,
    constant_a: f64,
    /// Volts everywhere for one ampere less.
    answer: Vec<f64>,
    /// Volts at the branch for one ampere less at each bend.
    by_bends: Vec<f64>,
}

/// A bend that has left its tangent.
struct Loose {
    port: usize,
    tangent_v: f64,
    /// Whether the fault opens it.
    dead: bool,
}

pub(super) struct Currents<'f> {
    faults: &'f Faults<'f>,
    besides: Vec<Beside>,
    loose: Vec<Loose>,
}

/// One round's result.
struct Round {
    /// Of the branches, then of the loose bends.
    current_a: Vec<f64>,
    /// Change of each of them with its own voltage.
    slope_s: Vec<f64>,
    equations: Dense,
}

impl<'f> Currents<'f> {
    pub(super) fn new(faults: &'f Faults<'f>) -> Self {
        Self {
            faults,
            besides: Vec::new(),
            loose: Vec::new(),
        }
    }

    /// Sets a current beside a branch.
    pub(super) fn beside(&mut self, pair: Pair, siemens: f64, constant_a: f64) {
        let search = &self.faults.point.settled.search;
        let ports = &self.faults.ports;
        let mut answer = search.layout.rest();
        pair.carry(1.0, &mut answer);
        let mirrored = (!ports.symmetric).then(|| {
            let mut mirrored = answer.clone();
            search
                .factor
                .solve_mirrored(&search.layout.pattern, &mut mirrored);
            mirrored
        });
        search.factor.solve(&search.layout.pattern, &mut answer);
        let back = mirrored.as_ref().unwrap_or(&answer);
        let by_bends = ports.bends.iter().map(|bend| bend.pair.rise(back)).collect();
        self.besides.push(Beside {
            pair,
            siemens,
            constant_a,
            answer,
            by_bends,
        });
    }

    /// Opens an element that bends.
    pub(super) fn open_bend(&mut self, element: usize) -> Option<()> {
        let port = self
            .faults
            .ports
            .bends
            .iter()
            .position(|bend| bend.element == element)?;
        self.loose.push(Loose {
            port,
            tangent_v: self.faults.ports.bends[port].u,
            dead: true,
        });
        Some(())
    }

    /// Finds the currents, and from them the voltages of all unknowns; not where they do not settle, lose
    /// digits, or a relay or load would not stay as it is.
    pub(super) fn voltages(&mut self) -> Option<Vec<f64>> {
        for _ in 0..MOST_ROUNDS {
            let round = self.round()?;
            let at_bends = self.at_bends(&round)?;
            if self.settles(&round, &at_bends)? {
                let stays = round.equations.sign > 0.0
                    && self.coils_stay(&round.current_a)
                    && self.loads_stay(&at_bends);
                return stays.then(|| self.spread(&round.current_a));
            }
        }
        None
    }

    /// Whether a bend that held its ends together now only leaks, or the other way round.
    pub(super) fn shut_or_opened(&self, x: &[f64]) -> bool {
        self.loose.iter().any(|loose| {
            let bend = &self.faults.ports.bends[loose.port];
            bend.law.blocks(bend.pair.across(x)) != bend.law.blocks(bend.u)
        })
    }

    /// The difference between a bend's law and its tangent at the operating point.
    fn excess(&self, port: usize, u: f64, dead: bool) -> Flow {
        let bend = &self.faults.ports.bends[port];
        let work = self.faults.point.settled.search.work[port];
        let flow = if dead {
            Flow::default()
        } else {
            bend.law.flow(u, work)
        };
        Flow {
            current_a: flow.current_a - bend.current_a - bend.slope_s * (u - bend.u),
            slope_s: flow.slope_s - bend.slope_s,
        }
    }

    /// Volts at bend `port` for one ampere less at unknown `column`.
    fn at_bend(&self, port: usize, column: usize) -> f64 {
        match self.besides.get(column) {
            Some(beside) => self.faults.ports.bends[port].pair.rise(&beside.answer),
            None => self
                .faults
                .ports
                .at_bend(port, self.loose[column - self.besides.len()].port),
        }
    }

    /// Volts at unknown `row` for one ampere less at bend `port`.
    fn by_bend(&self, row: usize, port: usize) -> f64 {
        match self.besides.get(row) {
            Some(beside) => beside.by_bends[port],
            None => self
                .faults
                .ports
                .at_bend(self.loose[row - self.besides.len()].port, port),
        }
    }

    /// The currents on the present tangents.
    fn round(&self) -> Option<Round> {
        let n = self.besides.len() + self.loose.len();
        let search = &self.faults.point.settled.search;
        let (mut slope_s, mut constant_a, mut u) = (
            Vec::with_capacity(n),
            Vec::with_capacity(n),
            Vec::with_capacity(n),
        );
        for beside in &self.besides {
            slope_s.push(beside.siemens);
            constant_a.push(beside.constant_a);
            u.push(beside.pair.rise(&search.x));
        }
        for loose in &self.loose {
            let excess = self.excess(loose.port, loose.tangent_v, loose.dead);
            slope_s.push(excess.slope_s);
            constant_a.push(excess.current_a - excess.slope_s * loose.tangent_v);
            u.push(self.faults.ports.bends[loose.port].u);
        }
        let mut entries = Vec::with_capacity(n * n);
        for (row, u) in u.iter_mut().enumerate() {
            for column in 0..n {
                let answer = match (self.besides.get(row), self.besides.get(column)) {
                    (Some(row), Some(column)) => row.pair.rise(&column.answer),
                    (Some(row), None) => row.by_bends[self.loose[column - self.besides.len()].port],
                    (None, _) => self.at_bend(self.loose[row - self.besides.len()].port, column),
                };
                entries.push(answer * slope_s[column] + if row == column { 1.0 } else { 0.0 });
                *u -= answer * constant_a[column];
            }
        }
        let equations = Dense::new(entries, n)?;
        let u = equations.solve(&u);
        let current_a = (0..n).map(|at| slope_s[at] * u[at] + constant_a[at]).collect();
        Some(Round {
            current_a,
            slope_s,
            equations,
        })
    }

    /// Voltage at each bend.
    fn at_bends(&self, round: &Round) -> Option<Vec<f64>> {
        let mut all = Vec::with_capacity(self.faults.ports.bends.len());
        for (port, BendPort { u, .. }) in self.faults.ports.bends.iter().enumerate() {
            let fall: f64 = round
                .current_a
                .iter()
                .enumerate()
                .map(|(at, current_a)| self.at_bend(port, at) * current_a)
                .sum();
            all.push(u - fall);
        }
        all.iter().all(|u| u.is_finite()).then_some(all)
    }

    /// Moves tangents and lets go of bends that leave theirs; says whether all were right.
    fn settles(&mut self, round: &Round, at_bends: &[f64]) -> Option<bool> {
        let mut settled = true;
        let mut let_go = Vec::new();
        let bends = &self.faults.ports.bends;
        for (port, (bend, &u)) in bends.iter().zip(at_bends).enumerate() {
            if self.loose.iter().any(|loose| loose.port == port) {
                continue;
            }
            let excess_a = self.excess(port, u, false).current_a.abs();
            if excess_a > ROUNDING_A && excess_a * self.own_ohms(round, port) > ON_TANGENT_V {
                let_go.push(Loose {
                    port,
                    tangent_v: bend.law.next_tangent(u, bend.u),
                    dead: false,
                });
            }
        }
        for loose in self.loose.iter_mut().filter(|loose| !loose.dead) {
            let u = at_bends[loose.port];
            settled &= (u - loose.tangent_v).abs() <= ON_TANGENT_V;
            loose.tangent_v = bends[loose.port].law.next_tangent(u, loose.tangent_v);
        }
        settled &= let_go.is_empty();
        self.loose.append(&mut let_go);
        (self.besides.len() + self.loose.len() <= MOST_UNKNOWNS).then_some(settled)
    }

    /// What a current at a bend meets there, with the fault.
    fn own_ohms(&self, round: &Round, port: usize) -> f64 {
        let n = round.current_a.len();
        let from: Vec<f64> = (0..n).map(|row| self.by_bend(row, port)).collect();
        let through = round.equations.solve(&from);
        let relief: f64 = (0..n)
            .map(|column| self.at_bend(port, column) * round.slope_s[column] * through[column])
            .sum();
        (self.faults.ports.at_bend(port, port) - relief).abs()
    }

    fn coils_stay(&self, current_a: &[f64]) -> bool {
        let (besides, loose) = current_a.split_at(self.besides.len());
        self.faults.ports.coils.iter().enumerate().all(|(at, coil)| {
            let mut u = coil.u;
            for (beside, current_a) in self.besides.iter().zip(besides) {
                u -= coil.pair.rise(&beside.answer) * current_a;
            }
            for (loose, current_a) in self.loose.iter().zip(loose) {
                u -= self.faults.ports.at_coil(at, loose.port) * current_a;
            }
            (coil.least_v..coil.most_v).contains(&u.abs())
        })
    }

    fn loads_stay(&self, at_bends: &[f64]) -> bool {
        self.faults
            .ports
            .bends
            .iter()
            .zip(at_bends)
            .enumerate()
            .all(|(port, (bend, &u))| {
                let Bent::PowerLoad(law) = bend.law else {
                    return true;
                };
                match self.faults.point.settled.search.work[port] {
                    Work::Running => u >= law.least_v,
                    Work::Waiting => false,
                    Work::DroppedOut => {
                        // What it would find at switch-on, itself drawing nothing.
                        let own_ohms = self.faults.ports.at_bend(port, port);
                        let relief = (1.0 - own_ohms * bend.slope_s).max(f64::MIN_POSITIVE);
                        (u - bend.u).abs() < AT_REST_V
                            || u + own_ohms * bend.slope_s * u / relief < 0.9 * law.least_v
                    }
                }
            })
    }

    /// The voltages that the currents make.
    fn spread(&self, current_a: &[f64]) -> Vec<f64> {
        let search = &self.faults.point.settled.search;
        let (besides, loose) = current_a.split_at(self.besides.len());
        let mut x = search.x.clone();
        let mut take = |change: &[f64], share: f64| {
            for (x, change) in x.iter_mut().zip(change) {
                *x -= change * share;
            }
        };
        if loose.is_empty() {
            for (beside, &current_a) in self.besides.iter().zip(besides) {
                take(&beside.answer, current_a);
            }
            return x;
        }
        let mut change = search.layout.rest();
        for (beside, &current_a) in self.besides.iter().zip(besides) {
            beside.pair.carry(current_a, &mut change);
        }
        for (loose, &current_a) in self.loose.iter().zip(loose) {
            self.faults.ports.bends[loose.port]
                .pair
                .carry(current_a, &mut change);
        }
        search.factor.solve(&search.layout.pattern, &mut change);
        take(&change, 1.0);
        x
    }
}
