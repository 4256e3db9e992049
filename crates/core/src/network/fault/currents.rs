//! The currents that a fault sets beside the network.
//!
//! With the network factorised at its operating point, a changed branch is the same branch and beside it a
//! current that makes up the difference; so is an element that bends, once it leaves its tangent. Those
//! currents are few. They follow from as many equations ([`super::round`]), whose solution gives every
//! voltage at once. A bend whose slope has hardly changed needs no equation: its current is carried from
//! round to round ([`super::settle`]).

use std::collections::VecDeque;
use std::sync::{Arc, MutexGuard, PoisonError};

use super::Faults;
use super::round::{Own, Round};
use crate::network::law::{Bent, Flow, Work};
use crate::network::layout::Pair;
use crate::network::operate::Ratio;

/// So many answers that were asked for last are kept.
const MOST_RECENT: usize = 64;

/// What so many currents make of each voltage is added up from answers that are kept.
const FEW: usize = 8;

/// Rounds before a solution from nothing.
const MOST_ROUNDS: usize = 40;

/// A load hangs on a branch where a current in that moves it by this share at least of what it moves the branch.
const HANGS: f64 = 0.5;

/// A current beside a branch: `siemens · rise + constant_a`, of an output less a share of its supply's rise.
pub(super) struct Beside {
    /// The contact that it opens or closes, if it is one.
    pub(super) contact: Option<usize>,
    /// Whether it is a tie, or takes one away, which is no current of the circuit.
    pub(super) is_tie: bool,
    /// Where it flows.
    pub(super) pair: Pair,
    /// The pair whose voltage counts as well, and how much: an output's own supply.
    pub(super) supply: Option<(Pair, f64)>,
    pub(super) siemens: f64,
    pub(super) constant_a: f64,
    pub(super) answer: Arc<Answer>,
}

/// Answers by the unknowns between which they were asked for, the last one first.
pub(super) type Recent = VecDeque<((u32, u32), Arc<Answer>)>;

/// How the network answers a current between two unknowns.
#[derive(Debug)]
pub(super) struct Answer {
    /// Volts everywhere for one ampere less here.
    pub(super) everywhere: Vec<f64>,
    /// The same at each bend, then each coil.
    pub(super) at_ports: Vec<f64>,
    /// The rise here for one ampere less at each bend, where that differs and the bends do not know it.
    mirrored: Option<Vec<f64>>,
}

impl Beside {
    /// The rise that makes its current, at voltages `x`.
    pub(super) fn rise(&self, x: &[f64]) -> f64 {
        let supply = self.supply.map_or(0.0, |(pair, share)| share * pair.rise(x));
        self.pair.rise(x) - supply
    }

    /// The same for one ampere less at a bend.
    pub(super) fn by_bend(&self, faults: &Faults<'_>, port: usize) -> f64 {
        if let Some(mirrored) = &self.answer.mirrored {
            return mirrored[port];
        }
        let everywhere = faults.ports.kept_at(&faults.point.settled.search, port);
        everywhere.map_or(self.answer.at_ports[port], |x| self.rise(x))
    }
}

/// A bend that has left its tangent and has an equation.
#[derive(Clone)]
pub(super) struct Loose {
    pub(super) port: usize,
    pub(super) tangent_v: f64,
    /// Whether the fault opens it.
    pub(super) dead: bool,
    /// Whether a part hangs on it and others like it alone.
    pub(super) hangs: bool,
}

/// A bend that has left its tangent by a current that is carried from round to round.
#[derive(Clone)]
pub(super) struct Drift {
    pub(super) port: usize,
    pub(super) current_a: f64,
    /// How much that changed in the last round.
    pub(super) change_a: f64,
    /// Voltage there in the last round.
    pub(super) u: f64,
}

pub(super) struct Currents<'f> {
    pub(super) faults: &'f Faults<'f>,
    pub(super) besides: Vec<Beside>,
    pub(super) loose: Vec<Loose>,
    pub(super) drifting: Vec<Drift>,
    /// What a current at each bend meets there.
    pub(super) own: Own,
    /// What each bend does, which matters to power loads.
    pub(super) work: Vec<Work>,
    /// Whether a power load that dropped out had enough voltage before it started.
    pub(super) collapsed: Vec<bool>,
    /// Voltage at each bend when it was last seen whether loads start.
    pub(super) rest_v: Vec<f64>,
    /// Nothing holds some part: what opens leaves it to itself.
    pub(super) unheld: bool,
    /// Where too many bends left their tangents, the voltages on the last ones.
    pub(super) near: Option<Vec<f64>>,
}

impl Faults<'_> {
    /// How the network answers a current there; kept if answers are.
    fn answer(&self, pair: Pair, supply: Option<(Pair, f64)>) -> Arc<Answer> {
        let anew = || Arc::new(self.answer_anew(pair, supply));
        // The way back alone depends on the supply.
        let alike = supply.is_none() || !self.ports.wants_mirrored();
        if !alike {
            return anew();
        }
        let ends = (pair.tail, pair.head);
        match self.answers.get(&ends) {
            Some(kept) => Arc::clone(kept.get_or_init(anew)),
            None => self.recent_answer(ends).unwrap_or_else(|| {
                let answer = anew();
                let mut recent = self.recent();
                recent.truncate(MOST_RECENT - 1);
                recent.push_front((ends, Arc::clone(&answer)));
                answer
            }),
        }
    }

    fn recent_answer(&self, ends: (u32, u32)) -> Option<Arc<Answer>> {
        let mut recent = self.recent();
        let at = recent.iter().position(|(asked, _)| *asked == ends)?;
        let asked = recent.remove(at)?;
        let answer = Arc::clone(&asked.1);
        recent.push_front(asked);
        Some(answer)
    }

    fn recent(&self) -> MutexGuard<'_, Recent> {
        // A lock is poisoned only by a panic, which then goes on elsewhere.
        self.recent.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn answer_anew(&self, pair: Pair, supply: Option<(Pair, f64)>) -> Answer {
        let search = &self.point.settled.search;
        let mut everywhere = search.layout.rest();
        pair.carry(1.0, &mut everywhere);
        let mirrored = self.ports.wants_mirrored().then(|| {
            let mut mirrored = everywhere.clone();
            if let Some((pair, share)) = supply {
                pair.carry(-share, &mut mirrored);
            }
            search
                .factor
                .solve_mirrored(&search.layout.pattern, &mut mirrored);
            self.ports.rises(&mirrored)
        });
        search.factor.solve(&search.layout.pattern, &mut everywhere);
        Answer {
            at_ports: self.ports.rises(&everywhere),
            everywhere,
            mirrored,
        }
    }
}

impl<'f> Currents<'f> {
    pub(super) fn new(faults: &'f Faults<'f>) -> Self {
        let search = &faults.point.settled.search;
        Self {
            faults,
            besides: Vec::new(),
            loose: Vec::new(),
            drifting: Vec::new(),
            own: Own::default(),
            work: search.work.clone(),
            collapsed: search.collapsed.clone(),
            rest_v: faults.ports.bends.iter().map(|bend| bend.u).collect(),
            unheld: false,
            near: None,
        }
    }

    /// Sets a current beside a branch, for a `contact` that moves or for good.
    pub(super) fn beside(&mut self, contact: Option<usize>, pair: Pair, siemens: f64, constant_a: f64) {
        self.besides.push(Beside {
            contact,
            is_tie: false,
            pair,
            supply: None,
            siemens,
            constant_a,
            answer: self.faults.answer(pair, None),
        });
    }

    /// Ties an unknown to the reference by so much more.
    pub(super) fn tie(&mut self, unknown: u32, siemens: f64) {
        let tie = self.faults.point.settled.search.layout.tie(unknown);
        self.beside(None, tie, siemens, 0.0);
        if let Some(beside) = self.besides.last_mut() {
            beside.is_tie = true;
        }
    }

    /// Sets a current beside an output that is a share of its supply, so that it carries none.
    pub(super) fn beside_ratio(&mut self, ratio: &Ratio) {
        let (pair, supply) = (ratio.output, Some((ratio.supply, ratio.share)));
        let offset_v = pair.offset_v - ratio.share * ratio.supply.offset_v;
        self.besides.push(Beside {
            contact: None,
            is_tie: false,
            pair,
            supply,
            siemens: -ratio.siemens,
            constant_a: -ratio.siemens * offset_v,
            answer: self.faults.answer(pair, supply),
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
            hangs: false,
        });
        Some(())
    }

    /// Where what opens leaves a part to loads alone that draw the same at any voltage, nothing holds that part on its tangents:
    /// those loads begin where they draw by their voltage.
    fn let_hang(&mut self) {
        let draws = |law: &Bent| matches!(law, Bent::CurrentLoad(_) | Bent::PowerLoad(_));
        let mut hanging: Vec<usize> = Vec::new();
        for beside in self.besides.iter().filter(|beside| beside.siemens < 0.0) {
            let own_v = HANGS * beside.rise(&beside.answer.everywhere).abs();
            let bends = self.faults.ports.bends.iter().zip(&beside.answer.at_ports);
            let hangs = bends.enumerate().filter(|(_, (bend, rise))| {
                let is_flat = bend.slope_s <= bend.law.steering_s();
                is_flat && draws(&bend.law) && rise.abs() >= own_v
            });
            hanging.extend(hangs.map(|(port, _)| port));
        }
        hanging.sort_unstable();
        hanging.dedup();
        self.loose
            .retain(|loose| loose.dead || hanging.binary_search(&loose.port).is_err());
        self.drifting
            .retain(|drift| hanging.binary_search(&drift.port).is_err());
        for port in hanging {
            if !self.loose.iter().any(|loose| loose.port == port) {
                self.loose.push(Loose {
                    port,
                    tangent_v: 0.0,
                    dead: false,
                    hangs: true,
                });
            }
        }
    }

    /// Finds the currents on present positions, and the voltage at each bend and coil; not where they do not
    /// settle, lose digits, or could not last.
    pub(super) fn settle(&mut self) -> Option<(Round, Vec<f64>)> {
        self.begin();
        let mut own = self.own();
        if own.is_none() {
            self.let_hang();
            own = self.own();
            self.unheld = own.is_none();
        }
        self.own = own?;
        for number in 0..MOST_ROUNDS {
            let round = self.round()?;
            let at_ports = self.at_ports(&round)?;
            let (at_bends, _) = at_ports.split_at(self.faults.ports.bends.len());
            let Some(settles) = self.settles(number, at_bends) else {
                self.near = Some(self.spread(&round));
                return None;
            };
            if settles {
                return (round.equations.sign > 0.0).then_some((round, at_ports));
            }
        }
        None
    }

    /// Whether a bend that held its ends together now only leaks, or the other way round.
    pub(super) fn shut_or_opened(&self, x: &[f64]) -> bool {
        let loose = self.loose.iter().map(|loose| loose.port);
        loose
            .chain(self.drifting.iter().map(|drift| drift.port))
            .any(|port| {
                let bend = &self.faults.ports.bends[port];
                bend.law.blocks(bend.pair.across(x)) != bend.law.blocks(bend.u)
            })
    }

    /// The difference between a bend's law and its tangent at the operating point.
    pub(super) fn excess(&self, port: usize, u: f64, dead: bool) -> Flow {
        let bend = &self.faults.ports.bends[port];
        let flow = if dead {
            Flow::default()
        } else {
            bend.law.flow(u, self.work(port))
        };
        Flow {
            current_a: flow.current_a - bend.current_a - bend.slope_s * (u - bend.u),
            slope_s: flow.slope_s - bend.slope_s,
        }
    }

    /// What a bend does.
    pub(super) fn work(&self, port: usize) -> Work {
        self.work[port]
    }

    /// The voltages that the currents make.
    pub(super) fn spread(&self, round: &Round) -> Vec<f64> {
        let drifting = self.drifting.iter().map(|drift| (drift.port, drift.current_a));
        let mut x = self.faults.point.settled.search.x.clone();
        for (x, change) in x.iter_mut().zip(self.change(&round.current_a, drifting)) {
            *x -= change;
        }
        x
    }

    /// What currents at branches and loose bends and, `besides`, at others take from each voltage.
    pub(super) fn change(&self, current_a: &[f64], besides: impl Iterator<Item = (usize, f64)>) -> Vec<f64> {
        let Faults { point, ports, .. } = self.faults;
        let search = &point.settled.search;
        let (at_branches, at_loose) = current_a.split_at(self.besides.len());
        let branches = self.besides.iter().zip(at_branches);
        let loose = self.loose.iter().map(|loose| loose.port);
        let bends: Vec<(usize, f64)> = loose.zip(at_loose.iter().copied()).chain(besides).collect();
        let mut change = search.layout.rest();
        // Adding up what is kept of a few is sooner than solving.
        let kept = || bends.iter().map(|(port, _)| ports.kept_at(search, *port));
        if branches.len() + bends.len() <= FEW && kept().all(|kept| kept.is_some()) {
            let branches = branches.map(|(beside, current_a)| (&beside.answer.everywhere[..], *current_a));
            let bends = kept()
                .flatten()
                .zip(bends.iter().map(|(_, current_a)| *current_a));
            for (answer, current_a) in branches.chain(bends) {
                for (change, answer) in change.iter_mut().zip(answer) {
                    *change += answer * current_a;
                }
            }
            return change;
        }
        for (beside, current_a) in branches {
            beside.pair.carry(*current_a, &mut change);
        }
        for (port, current_a) in &bends {
            ports.bends[*port].pair.carry(*current_a, &mut change);
        }
        search.factor.solve(&search.layout.pattern, &mut change);
        change
    }
}
