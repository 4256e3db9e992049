//! Whether every bend is where its law has it, and what to do about those that are not.

use super::currents::{Currents, Drift, Loose};

/// More equations than this are dearer than a new factor,
const MOST_UNKNOWNS: usize = 24;
/// and one more for so many unknowns of the network, with which a factor becomes dearer.
const UNKNOWNS_EACH: usize = 100;
/// A bend that is to be on its law has come to rest when its voltage changes by no more, volts.
const AT_REST_V: f64 = 1e-9;
/// A bend stays on its tangent while what it misses there changes no voltage by more, volts.
const ON_TANGENT_V: f64 = 1e-10;
/// A current that is rounding, amperes.
const ROUNDING_A: f64 = 1e-16;
/// A bend drifts while its change of slope moves its own voltage by no more than about this share.
const DRIFT_SHARE: f64 = 0.3;
/// A drifting current whose change shrinks by less gets an equation.
const SHRINKS: f64 = 0.5;
/// Rounds in which bends drift; what has not come to rest then gets an equation.
const DRIFT_ROUNDS: usize = 20;

/// What a bend is taken for.
#[derive(Clone, Copy)]
enum Kept {
    OnTangent,
    Drifting(usize),
    Loose(usize),
}

/// What is left of a missed current once it has moved its own voltage, by the slope there.
fn relieved(missed_a: f64, slope_s: f64, own_ohms: f64) -> f64 {
    missed_a / (1.0 + slope_s * own_ohms).max(0.5)
}

impl Currents<'_> {
    /// Moves tangents, lets bends drift and lets go of those that bend too much; says whether all were
    /// right.
    pub(super) fn settles(&mut self, number: usize, at_bends: &[f64]) -> Option<bool> {
        let mut kept = vec![Kept::OnTangent; at_bends.len()];
        for (at, loose) in self.loose.iter().enumerate() {
            kept[loose.port] = Kept::Loose(at);
        }
        for (at, drift) in self.drifting.iter().enumerate() {
            kept[drift.port] = Kept::Drifting(at);
        }
        let mut settled = true;
        let (mut let_go, mut drifted) = (Vec::new(), false);
        for (port, (kept, &u)) in kept.into_iter().zip(at_bends).enumerate() {
            settled &= match kept {
                Kept::Loose(at) => self.keeps_tangent(at, u),
                Kept::Drifting(at) => {
                    let (rests, goes) = self.keeps_drifting(at, u, number);
                    drifted |= goes;
                    if goes {
                        let_go.push((port, u));
                    }
                    rests
                }
                Kept::OnTangent => self.keeps_on(port, u, number, &mut let_go),
            };
        }
        if drifted {
            self.drifting
                .retain(|drift| !let_go.iter().any(|(port, _)| *port == drift.port));
        }
        if !let_go.is_empty() {
            self.allow_change();
        }
        for (port, u) in let_go {
            let bend = &self.faults.ports.bends[port];
            let tangent_v = bend.law.next_tangent(u, bend.u);
            let (dead, hangs) = (false, false);
            self.loose.push(Loose {
                port,
                tangent_v,
                dead,
                hangs,
            });
        }
        let most = MOST_UNKNOWNS + self.faults.point.settled.search.x.len() / UNKNOWNS_EACH;
        // Where more bends than half of that leave their tangents in the first round they seldom end below it.
        let few = number > 0 || self.loose.len() <= most / 2;
        (few && self.besides.len() + self.loose.len() <= most).then_some(settled)
    }

    /// Lets drifting currents change as they will in the next round, since something else has.
    fn allow_change(&mut self) {
        for drift in &mut self.drifting {
            drift.change_a = f64::INFINITY;
        }
    }

    /// Takes no drifting current for settled, since laws may have changed.
    pub(super) fn begin(&mut self) {
        self.allow_change();
        for drift in &mut self.drifting {
            drift.u = f64::INFINITY;
        }
    }

    /// Moves the tangent of a loose bend and says whether it was right.
    fn keeps_tangent(&mut self, at: usize, u: f64) -> bool {
        let Loose {
            port,
            tangent_v,
            dead,
            ..
        } = self.loose[at];
        if dead {
            return true;
        }
        let (then, now) = (self.excess(port, tangent_v, false), self.excess(port, u, false));
        self.loose[at].tangent_v = self.faults.ports.bends[port].law.next_tangent(u, tangent_v);
        // Where the law is straight between, the tangent was right however far it was taken.
        let missed_a = (now.current_a - then.current_a - then.slope_s * (u - tangent_v)).abs();
        let is_straight =
            now.slope_s == then.slope_s && missed_a <= ROUNDING_A.max(1e-12 * now.current_a.abs());
        is_straight || (u - tangent_v).abs() <= AT_REST_V
    }

    /// Carries a drifting bend on, and says whether it has come to rest and whether it needs an equation.
    fn keeps_drifting(&mut self, at: usize, u: f64, number: usize) -> (bool, bool) {
        let (port, was_a) = (self.drifting[at].port, self.drifting[at].current_a);
        let excess = self.excess(port, u, false);
        let own_ohms = self.own_ohms(port);
        let drift = &mut self.drifting[at];
        let missed_a = excess.current_a - was_a;
        let change_a = missed_a.abs();
        let is_right = change_a <= ROUNDING_A || change_a * own_ohms <= ON_TANGENT_V;
        if is_right || (u - drift.u).abs() <= AT_REST_V {
            drift.u = u;
            return (true, false);
        }
        let goes = number >= DRIFT_ROUNDS || change_a > SHRINKS * drift.change_a;
        let current_a = was_a + relieved(missed_a, excess.slope_s, own_ohms);
        (drift.current_a, drift.change_a, drift.u) = (current_a, change_a, u);
        (false, goes)
    }

    /// Keeps a bend on its tangent, or has it drift or lets it go.
    fn keeps_on(&mut self, port: usize, u: f64, number: usize, let_go: &mut Vec<(usize, f64)>) -> bool {
        let excess = self.excess(port, u, false);
        let missed_a = excess.current_a.abs();
        if missed_a <= ROUNDING_A {
            return true;
        }
        let own_ohms = self.own_ohms(port);
        if missed_a * own_ohms <= ON_TANGENT_V {
            return true;
        }
        if number < DRIFT_ROUNDS && excess.slope_s.abs() * own_ohms <= DRIFT_SHARE {
            self.drifting.push(Drift {
                port,
                current_a: relieved(excess.current_a, excess.slope_s, own_ohms),
                change_a: missed_a,
                u,
            });
        } else {
            let_go.push((port, u));
        }
        false
    }
}
