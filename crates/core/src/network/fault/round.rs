//! One round: the equations for the currents beside the network, and the voltages that follow.

use std::sync::Arc;

use super::currents::Currents;
use crate::network::dense::Dense;

/// One round's result.
pub(super) struct Round {
    /// Of the branches, then of the loose bends.
    pub(super) current_a: Vec<f64>,
    pub(super) equations: Arc<Dense>,
    /// Change of each of them with its own voltage.
    pub(super) slope_s: Vec<f64>,
}

impl Currents<'_> {
    /// Volts at bend `port` for one ampere less at unknown `column`.
    fn at_bend(&self, port: usize, column: usize) -> f64 {
        match self.besides.get(column) {
            Some(beside) => beside.answer.at_ports[port],
            None => self.bend_at_bend(port, self.loose[column - self.besides.len()].port),
        }
    }

    /// Volts at unknown `row` for one ampere less at bend `port`.
    fn by_bend(&self, row: usize, port: usize) -> f64 {
        match self.besides.get(row) {
            Some(beside) => beside.by_bend(self.faults, port),
            None => self.bend_at_bend(self.loose[row - self.besides.len()].port, port),
        }
    }

    /// Volts at bend `row` for one ampere less at bend `column`.
    fn bend_at_bend(&self, row: usize, column: usize) -> f64 {
        let search = &self.faults.point.settled.search;
        self.faults.ports.at_bend(search, row, column)
    }

    /// The currents on the present tangents.
    pub(super) fn round(&mut self) -> Option<Round> {
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
            u.push(beside.rise(&search.x));
        }
        for loose in &self.loose {
            let excess = self.excess(loose.port, loose.tangent_v, loose.dead);
            slope_s.push(excess.slope_s);
            constant_a.push(excess.current_a - excess.slope_s * loose.tangent_v);
            u.push(self.faults.ports.bends[loose.port].u);
        }
        for (row, u) in u.iter_mut().enumerate() {
            let constant = constant_a.iter().enumerate();
            for (column, constant_a) in constant.filter(|(_, a)| **a != 0.0) {
                *u -= self.answers(row, column) * constant_a;
            }
            for drift in &self.drifting {
                *u -= self.by_bend(row, drift.port) * drift.current_a;
            }
        }
        let equations = self.known_equations(&slope_s)?;
        let u = equations.solve(&u);
        let current_a = (0..n).map(|at| slope_s[at] * u[at] + constant_a[at]).collect();
        Some(Round {
            current_a,
            equations,
            slope_s,
        })
    }

    /// Volts at one unknown for one ampere less at another.
    fn answers(&self, row: usize, column: usize) -> f64 {
        match (self.besides.get(row), self.besides.get(column)) {
            (Some(row), Some(column)) => row.rise(&column.answer.everywhere),
            (Some(row), None) => row.by_bend(self.faults, self.loose[column - self.besides.len()].port),
            (None, _) => self.at_bend(self.loose[row - self.besides.len()].port, column),
        }
    }

    /// The same as in the round before where no slope has changed, as with laws that are straight but for their corners.
    fn known_equations(&mut self, slope_s: &[f64]) -> Option<Arc<Dense>> {
        if self.loose.is_empty() && self.own.hanging.is_empty() {
            return Some(Arc::clone(&self.own.equations));
        }
        let ports = self.loose.iter().map(|loose| loose.port);
        let last = self.own.last.as_ref();
        let last =
            last.filter(|last| last.slope_s == slope_s && last.ports.iter().copied().eq(ports.clone()));
        if let Some(last) = last {
            return Some(Arc::clone(&last.equations));
        }
        let equations = Arc::new(self.equations(slope_s)?);
        self.own.last = Some(Last {
            ports: ports.collect(),
            slope_s: slope_s.to_vec(),
            equations: Arc::clone(&equations),
        });
        Some(equations)
    }

    /// The equations for the first unknowns, by the slope of each.
    fn equations(&self, slope_s: &[f64]) -> Option<Dense> {
        let n = slope_s.len();
        let mut entries = Vec::with_capacity(n * n);
        for row in 0..n {
            for (column, slope_s) in slope_s.iter().enumerate() {
                let own = if row == column { 1.0 } else { 0.0 };
                entries.push(self.answers(row, column) * slope_s + own);
            }
        }
        Dense::new(entries, n)
    }

    /// Voltage at each bend, then each coil.
    pub(super) fn at_ports(&self, round: &Round) -> Option<Vec<f64>> {
        let (ports, search) = (&self.faults.ports, &self.faults.point.settled.search);
        let (besides, loose) = round.current_a.split_at(self.besides.len());
        let mut all: Vec<f64> = ports.bends.iter().map(|bend| bend.u).collect();
        all.extend(ports.coils.iter().map(|coil| coil.u));
        let mut take = |answer: &[f64], current_a: f64| {
            for (u, answer) in all.iter_mut().zip(answer) {
                *u -= answer * current_a;
            }
        };
        for (beside, &current_a) in self.besides.iter().zip(besides) {
            take(&beside.answer.at_ports, current_a);
        }
        for (loose, &current_a) in self.loose.iter().zip(loose) {
            take(ports.by_bend(search, loose.port), current_a);
        }
        for drift in &self.drifting {
            take(ports.by_bend(search, drift.port), drift.current_a);
        }
        all.iter().all(|u| u.is_finite()).then_some(all)
    }

    /// Makes ready what a current at a bend meets there with the branches beside, bends on their tangents but for those on which
    /// a part hangs alone.
    pub(super) fn own(&self) -> Option<Own> {
        let hanging = self.loose.iter().filter(|loose| loose.hangs);
        let hanging = hanging.map(|loose| {
            let excess = self.excess(loose.port, loose.tangent_v, false);
            (loose.port, excess.slope_s)
        });
        let hanging: Vec<(usize, f64)> = hanging.collect();
        let n = self.besides.len() + hanging.len();
        let mut entries = Vec::with_capacity(n * n);
        let mut enter = |answer: f64, slope_s: f64| {
            let own = if entries.len() % (n + 1) == 0 { 1.0 } else { 0.0 };
            entries.push(answer * slope_s + own);
        };
        for at in &self.besides {
            for beside in &self.besides {
                enter(at.rise(&beside.answer.everywhere), beside.siemens);
            }
            for &(port, slope_s) in &hanging {
                enter(at.by_bend(self.faults, port), slope_s);
            }
        }
        for &(at, _) in &hanging {
            for beside in &self.besides {
                enter(beside.answer.at_ports[at], beside.siemens);
            }
            for &(port, slope_s) in &hanging {
                enter(self.bend_at_bend(at, port), slope_s);
            }
        }
        Some(Own {
            equations: Arc::new(Dense::new(entries, n)?),
            hanging,
            ohms: vec![None; self.faults.ports.bends.len()],
            last: None,
        })
    }

    /// What a current at a bend meets there, found once it is asked for: most bends hardly notice a fault.
    pub(super) fn own_ohms(&mut self, port: usize) -> f64 {
        if let Some(ohms) = self.own.ohms[port] {
            return ohms;
        }
        let besides = self.besides.iter();
        let besides = besides.map(|beside| beside.by_bend(self.faults, port));
        let hanging = self.own.hanging.iter();
        let hanging = hanging.map(|&(at, _)| self.bend_at_bend(at, port));
        let from: Vec<f64> = besides.chain(hanging).collect();
        let rises = self.own.equations.solve(&from);
        let besides = self.besides.iter();
        let besides = besides.map(|beside| beside.answer.at_ports[port] * beside.siemens);
        let hanging = self.own.hanging.iter();
        let hanging = hanging.map(|&(at, slope_s)| self.bend_at_bend(port, at) * slope_s);
        let back = besides.chain(hanging);
        let relief: f64 = back.zip(rises).map(|(back, rise)| back * rise).sum();
        let ohms = (self.bend_at_bend(port, port) - relief).abs();
        self.own.ohms[port] = Some(ohms);
        ohms
    }
}

/// What currents at bends meet there.
#[derive(Default)]
pub(super) struct Own {
    equations: Arc<Dense>,
    /// Bends on which a part hangs alone, with how their slopes there differ from their tangents'.
    hanging: Vec<(usize, f64)>,
    ohms: Vec<Option<f64>>,
    last: Option<Last>,
}

/// The last equations with loose bends, and of which.
struct Last {
    ports: Vec<usize>,
    slope_s: Vec<f64>,
    equations: Arc<Dense>,
}
