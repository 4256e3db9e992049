//! Whether every bend is where its law has it, and what to do about those that are not.

use super::currents::{Currents, Drift, Loose};
use super::round::Round;
use crate::network::law::Flow;

/// More equations than this are dearer than a new factor.
const MOST_UNKNOWNS: usize = 48;
/// A bend is on its tangent while that changes no voltage there by more, volts.
const ON_TANGENT_V: f64 = 1e-9;
/// Of what a bend that opens leaves to hold its ends.
const LEAST_RELIEF: f64 = 1e-9;
/// A current that is rounding, amperes.
const ROUNDING_A: f64 = 1e-16;
/// A bend drifts while its change of slope moves its own voltage by no more than this share.
const DRIFT_SHARE: f64 = 0.2;
/// Rounds in which bends drift; what has not come to rest then gets an equation.
const DRIFT_ROUNDS: usize = 20;

/// What a bend is taken for.
enum Kept {
    OnTangent,
    Drifting(usize),
    Loose(usize),
}

impl Currents<'_> {
    /// Moves tangents, lets bends drift and lets go of those that bend too much; says whether all were
    /// right.
    pub(super) fn settles(&mut self, number: usize, round: &Round, at_bends: &[f64]) -> Option<bool> {
        let mut kept: Vec<Kept> = at_bends.iter().map(|_| Kept::OnTangent).collect();
        for (at, loose) in self.loose.iter().enumerate() {
            kept[loose.port] = Kept::Loose(at);
        }
        for (at, drift) in self.drifting.iter().enumerate() {
            kept[drift.port] = Kept::Drifting(at);
        }
        let mut settled = true;
        let (mut let_go, mut gone) = (Vec::new(), Vec::new());
        let mut new_drifts = Vec::new();
        let mut tangents = Vec::new();
        let mut drifts = Vec::new();
        for (port, (kept, &u)) in kept.iter().zip(at_bends).enumerate() {
            let bend = &self.faults.ports.bends[port];
            let (was, known) = match *kept {
                Kept::Loose(at) if self.loose[at].dead => continue,
                Kept::Loose(at) => {
                    let was = self.loose[at].tangent_v;
                    (was, self.excess(port, was, false))
                }
                Kept::Drifting(at) => (
                    u,
                    Flow {
                        current_a: self.drifting[at].current_a,
                        slope_s: 0.0,
                    },
                ),
                Kept::OnTangent => (bend.u, Flow::default()),
            };
            let is_on = self.is_on(known, was, port, u, round);
            if let Kept::Loose(at) = *kept {
                settled &= is_on && (u - was).abs() <= ON_TANGENT_V;
                tangents.push((at, bend.law.next_tangent(u, was)));
                continue;
            }
            if is_on {
                continue;
            }
            settled = false;
            let excess = self.excess(port, u, false);
            let drifts_on =
                number < DRIFT_ROUNDS && (excess.slope_s * self.own_ohms(round, port)).abs() <= DRIFT_SHARE;
            match *kept {
                Kept::Drifting(at) if drifts_on => drifts.push((at, excess.current_a)),
                Kept::OnTangent if drifts_on => new_drifts.push(Drift {
                    port,
                    current_a: excess.current_a,
                }),
                _ => {
                    gone.push(port);
                    let_go.push(Loose {
                        port,
                        tangent_v: bend.law.next_tangent(u, bend.u),
                        dead: false,
                    });
                }
            }
        }
        for (at, tangent_v) in tangents {
            self.loose[at].tangent_v = tangent_v;
        }
        for (at, current_a) in drifts {
            self.drifting[at].current_a = current_a;
        }
        self.drifting.retain(|drift| !gone.contains(&drift.port));
        self.drifting.append(&mut new_drifts);
        self.loose.append(&mut let_go);
        (self.besides.len() + self.loose.len() <= MOST_UNKNOWNS).then_some(settled)
    }

    /// Whether a bend's law at `u` is where its tangent, which touches at `was`, has led: what is missed
    /// changes no voltage there, not even with the slope that the law has now.
    fn is_on(&self, tangent: Flow, was: f64, port: usize, u: f64, round: &Round) -> bool {
        let excess = self.excess(port, u, false);
        let missed_a = (excess.current_a - tangent.current_a - tangent.slope_s * (u - was)).abs();
        if missed_a <= ROUNDING_A {
            return true;
        }
        let own_ohms = self.own_ohms(round, port);
        let relief = (1.0 + (excess.slope_s - tangent.slope_s).min(0.0) * own_ohms).max(LEAST_RELIEF);
        missed_a * own_ohms / relief <= ON_TANGENT_V
    }
}
