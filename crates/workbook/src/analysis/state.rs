//! What is computed of one operating state.

use crimpbook_core::network::{Circuit, Potential};

use super::{
    Snapshot,
    heat::{Temperatures, Warmth},
};
use crate::{
    Book,
    circuit::{Given, Operated, Ready, Stands, Trouble, What, Wiring, operate},
    model::{About, Cavity, Connector, End, Id, State, Unit, Wire},
};

/// An operating state, computed.
#[derive(Debug, Clone)]
pub struct StateResult {
    /// The state.
    pub state: Id<State>,
    /// How its parts stand.
    pub stands: Stands,
    /// Voltage of the sources that follow the supply, V.
    pub supply_v: f64,
    /// The operating point.
    pub operated: Operated,
    /// How warm the wires run.
    pub temperatures: Temperatures,
}

/// The voltage at a cavity, in the two ways it can be measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CavityVolts {
    /// Against the unit's own ground, V; none: it floats, or the unit has no ground.
    pub own_ground_v: Option<f64>,
    /// Against battery negative.
    pub negative: Potential,
}

/// Every operating state of a book, computed.
#[derive(Debug, Default)]
pub(super) struct Computed {
    /// Networks that others of this book are joined like.
    pub ready: Ready,
    /// Those that have a solution, in their order.
    pub results: Vec<StateResult>,
    /// Those that have none, and why.
    pub failed: Vec<(Id<State>, Trouble)>,
}

/// From so many wires × states on the work is shared between two threads.
const SHARED_FROM: usize = 4000;

/// Computes every operating state of a book, in their order. `former` are networks of the book before.
pub(super) fn all(book: &Book, wiring: &Wiring, warmth: &Warmth, former: &Ready) -> Computed {
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.sort_by_key(|s| (s.order, s.label.clone()));
    // The order of elimination, which all states share, is sought but once.
    let mut computed = Computed {
        ready: Ready::after(former),
        ..Computed::default()
    };
    let mut done = Vec::new();
    let mut like = Stands::default();
    let rest = match states.split_first() {
        Some((first, rest)) => {
            let stands = Stands::of(book, first);
            like = stands.clone();
            let result = one(book, wiring, warmth, &mut computed.ready, first, stands);
            done.push((first.id, result));
            rest
        }
        None => &[],
    };
    let some = |states: &[&State]| {
        let mut ready = computed.ready.clone();
        let compute = |s: &&State| {
            (
                s.id,
                one(book, wiring, warmth, &mut ready, s, Stands::like(&like, book, s)),
            )
        };
        let done = states.iter().map(compute).collect::<Vec<_>>();
        (done, ready)
    };
    let (first, second) = rest.split_at(rest.len() / 2);
    let parts = if wiring.wires.len() * states.len() < SHARED_FROM {
        vec![some(rest)]
    } else {
        std::thread::scope(|scope| {
            let other = scope.spawn(|| some(second));
            let first = some(first);
            // A thread that panicked leaves its states to this one.
            vec![first, other.join().unwrap_or_else(|_| some(second))]
        })
    };
    for (more, ready) in parts {
        done.extend(more);
        computed.ready.join(ready);
    }
    computed.ready.forget_former();
    for (state, result) in done {
        match result {
            Ok(result) => computed.results.push(result),
            Err(trouble) => computed.failed.push((state, trouble)),
        }
    }
    computed
}

/// Computes a state with its parts standing so.
fn one(
    book: &Book,
    wiring: &Wiring,
    warmth: &Warmth,
    ready: &mut Ready,
    state: &State,
    stands: Stands,
) -> Result<StateResult, Trouble> {
    let nominal_v = book.all::<About>().values().next().map(|a| a.supply.nominal_v);
    let supply_v = state.supply_v.or(nominal_v).unwrap_or(12.6);
    let warm = |currents: &[f64], copper: &mut [f64]| warmth.warm(wiring, currents, copper);
    let operated = operate(
        &Given {
            book,
            wiring,
            stands: &stands,
            supply_v,
        },
        ready,
        warmth.idle(),
        warm,
    )?;
    let currents: Vec<f64> = (0..wiring.wires.len()).map(|at| operated.wire_a(at)).collect();
    Ok(StateResult {
        state: state.id,
        temperatures: warmth.at(&currents),
        stands,
        supply_v,
        operated,
    })
}

impl Snapshot {
    /// Networks made ready for the states, which their variations are joined like.
    pub(crate) fn ready(&self) -> Ready {
        self.computed().ready.clone()
    }

    /// A state with some parts standing otherwise for a moment: the wires stay as warm as they were. `ready` keeps what
    /// serves the next one as well.
    ///
    /// # Errors
    /// [`Trouble`] where there is no solution.
    pub fn for_a_moment(
        &self,
        of: &StateResult,
        stands: Stands,
        ready: &mut Ready,
    ) -> Result<StateResult, Trouble> {
        self.moment(of, stands, of.supply_v, ready)
    }

    fn moment(
        &self,
        of: &StateResult,
        stands: Stands,
        supply_v: f64,
        ready: &mut Ready,
    ) -> Result<StateResult, Trouble> {
        let copper = of.temperatures.copper();
        let operated = operate(
            &Given {
                book: self.book(),
                wiring: self.wiring(),
                stands: &stands,
                supply_v,
            },
            ready,
            copper,
            |_, _| false,
        )?;
        Ok(StateResult {
            state: of.state,
            stands,
            supply_v,
            operated,
            temperatures: of.temperatures.clone(),
        })
    }

    /// A state at another supply voltage, its wires as warm as they were, V.
    ///
    /// # Errors
    /// [`Trouble`] where there is no solution.
    pub fn at_supply(
        &self,
        of: &StateResult,
        supply_v: f64,
        ready: &mut Ready,
    ) -> Result<StateResult, Trouble> {
        self.moment(of, of.stands.clone(), supply_v, ready)
    }

    /// The network that a state was solved with, and what its elements stand for.
    pub fn network(&self, of: &StateResult) -> (Circuit, Vec<What>) {
        of.operated.network(&self.given(of, &of.stands))
    }

    /// A state's supply over the whole wiring, with parts as they stand now.
    pub(crate) fn given<'a>(&'a self, of: &StateResult, stands: &'a Stands) -> Given<'a> {
        Given {
            book: self.book(),
            wiring: self.wiring(),
            stands,
            supply_v: of.supply_v,
        }
    }

    /// The voltage at a cavity's unit side.
    pub fn cavity_volts(&self, of: &StateResult, cavity: Id<Cavity>) -> CavityVolts {
        let wiring = self.wiring();
        let node = wiring
            .nodes
            .unit_side(cavity)
            .or_else(|| wiring.nodes.wire_side(cavity));
        let Some(node) = node else {
            return CavityVolts {
                own_ground_v: None,
                negative: Potential::Floating,
            };
        };
        let unit = self.unit_of(cavity);
        let ground = unit.and_then(|unit| wiring.ground_of(unit));
        CavityVolts {
            own_ground_v: ground.and_then(|ground| of.operated.between(node, ground)),
            negative: of.operated.volts(node),
        }
    }

    /// How much one unit's ground stands above another's, V.
    pub fn ground_offset_v(&self, of: &StateResult, one: Id<Unit>, other: Id<Unit>) -> Option<f64> {
        let ground = |unit| self.wiring().ground_of(unit);
        of.operated.between(ground(one)?, ground(other)?)
    }

    /// The unit a cavity belongs to.
    pub fn unit_of(&self, cavity: Id<Cavity>) -> Option<Id<Unit>> {
        let connector = self.book().get(cavity)?.connector;
        self.book().get(connector).map(|c: &Connector| c.unit)
    }

    /// What a wire alone drops at a current and a conductor temperature: copper, its joints and its contacts, without a
    /// fuse in line, V. By its place in [`Wiring::wires`].
    pub fn wire_drop_v(&self, at: usize, current_a: f64, conductor_c: f64) -> f64 {
        let wiring = self.wiring();
        let Some(run) = wiring.wires.get(at) else {
            return 0.0;
        };
        let wire: Option<&Wire> = self.book().get(run.wire);
        let ends = wire.map_or([End::Free, End::Free], |w| [w.from, w.to]);
        let contacts: f64 = ends.iter().map(|end| self.contact_at_ohm(*end)).sum();
        let factor = crimpbook_core::conductor::copper_factor(conductor_c);
        current_a.abs() * (run.wire_ohm(factor) + contacts)
    }

    /// Resistance of the contact at an end, Ω; nothing at a splice or stud.
    fn contact_at_ohm(&self, end: End) -> f64 {
        let End::Cavity(id) = end else { return 0.0 };
        let family = self.book().get(id).and_then(|c: &Cavity| c.contact);
        crate::circuit::contact_ohm(family.and_then(|f| self.book().get(f)))
    }
}
