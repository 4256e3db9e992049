//! Single faults, each as a small change of a factorised network.
//!
//! A fault changes one or two branches. [`ports`] keeps how the network answers a current at each element
//! that bends and at each coil; [`update`] writes a fault down as [`currents`] beside the network, few
//! unknowns that are found in rounds; then [`loads`] drop out or start and [`coils`] move, which sets more
//! currents beside. [`cut`] knows which elements hold a part alone, since opening one makes an island,
//! [`islands`] ties what several that open leave to itself, and
//! [`anew`] solves with a new factor where an update would lose digits; [`kept`] is what makes that quicker the
//! second time.

mod anew;
mod coils;
mod currents;
mod cut;
mod faulted;
mod islands;
mod kept;
mod loads;
mod moments;
mod ports;
mod refine;
mod round;
mod settle;
mod sweep;
mod update;

pub use faulted::Faulted;
pub use kept::Ended;
pub use moments::{FuseGate, Moments};
pub use sweep::{Executor, Serial};

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock};

use super::layout::Pair;
use super::operate::{From, Search, Settled};
use super::{Circuit, Element, ElementId, NetworkError, NodeId, OperatingPoint};
use currents::{Answer, Recent};
use cut::Cuts;
use ports::Ports;

/// What a fault does to the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// An element no longer conducts: a wire off, a fuse blown, a contact stuck open, a coil broken.
    Open(ElementId),
    /// A contact is welded.
    Closed(ElementId),
    /// Two nodes touch over `ohms`: a wire chafed through. A short is 1 mΩ.
    Bridge {
        /// One node.
        a: NodeId,
        /// The other.
        b: NodeId,
        /// Above zero.
        ohms: f64,
    },
}

/// An operating point made ready for many faults.
#[derive(Debug)]
pub struct Faults<'p> {
    point: &'p OperatingPoint<'p>,
    ports: Ports,
    cuts: Cuts,
    /// Between which unknowns there is what would carry something if they hung together.
    waiting: Vec<Pair>,
    /// How the network answers a current between two unknowns, where that is kept once it was asked for.
    answers: HashMap<(u32, u32), OnceLock<Arc<Answer>>>,
    /// The same for those that were asked for last: a fault and what follows from it ask for some again and again.
    recent: Mutex<Recent>,
}

impl OperatingPoint<'_> {
    /// Makes ready for faults.
    #[must_use]
    pub fn faults(&self) -> Faults<'_> {
        let search = &self.settled.search;
        let ports = Ports::new(self.circuit, search);
        Faults {
            point: self,
            ports,
            cuts: Cuts::new(self.circuit, search),
            waiting: waiting(self.circuit, search),
            answers: HashMap::new(),
            recent: Mutex::default(),
        }
    }
}

/// Between which unknowns a current or an output's supply waits to be fed.
fn waiting(circuit: &Circuit, search: &Search<'_>) -> Vec<Pair> {
    let elements = circuit.elements().iter().enumerate();
    let open = elements.filter(|(at, _)| search.is_open(*at));
    let fed = open.filter_map(|(at, element)| match *element {
        Element::Current { .. } => Some(search.layout.pairs[at]),
        Element::Ratiometric { low, high, .. } => Some(search.layout.pair(low, high)),
        _ => None,
    });
    fed.collect()
}

impl Faults<'_> {
    /// Keeps what these changes come to, for many faults that combine them; that is a number for each unknown and each of them.
    #[must_use]
    pub fn keeping_answers(mut self, changes: &[Change]) -> Self {
        let search = &self.point.settled.search;
        let layout = search.layout;
        let pair = |change: &Change| match *change {
            Change::Open(id) | Change::Closed(id) => layout.pairs.get(id.index()).copied(),
            Change::Bridge { a, b, .. } => {
                let nodes = self.point.circuit.node_count();
                (a.index() < nodes && b.index() < nodes).then(|| layout.pair(a, b))
            }
        };
        // A bridge to what floats takes its tie away.
        let floating = search.parts.piece.iter().map(|piece| layout.tie(*piece));
        let all = changes.iter().filter_map(pair).chain(floating);
        self.answers = all
            .map(|pair| ((pair.tail, pair.head), OnceLock::new()))
            .collect();
        self
    }

    /// The operating point to which `changes` lead in service: relays begin where they are.
    ///
    /// # Errors
    /// [`NetworkError::NotConverged`] where none is found, [`NetworkError::NoSuchElement`] and
    /// [`NetworkError::UnusableBridge`] where a change cannot be made.
    pub fn solve(&self, changes: &[Change]) -> Result<Faulted<'_>, NetworkError> {
        self.check(changes)?;
        let mut near = None;
        match self.updated(changes, None, &mut near) {
            Some(faulted) => Ok(faulted),
            None => {
                let Settled { search, pulled, .. } = &self.point.settled;
                let from = near.map_or(From::Service(search), |x| From::Near(search, x));
                self.anew(changes, pulled.clone(), &from)
            }
        }
    }

    /// The operating point to which `changes` lead at switch-on: all relays begin dropped out.
    ///
    /// # Errors
    /// As [`Faults::solve`].
    pub fn solve_from_switch_on(&self, changes: &[Change]) -> Result<Faulted<'_>, NetworkError> {
        self.check(changes)?;
        self.anew(
            changes,
            vec![false; self.point.circuit.elements().len()],
            &From::Rest,
        )
    }

    fn check(&self, changes: &[Change]) -> Result<(), NetworkError> {
        let circuit = self.point.circuit;
        for change in changes {
            match *change {
                Change::Open(element) | Change::Closed(element) => {
                    if element.index() >= circuit.elements().len() {
                        return Err(NetworkError::NoSuchElement { element });
                    }
                }
                Change::Bridge { a, b, ohms } => {
                    let known = a.index() < circuit.node_count() && b.index() < circuit.node_count();
                    if !known || !ohms.is_finite() || ohms <= 0.0 {
                        return Err(NetworkError::UnusableBridge { a, b, ohms });
                    }
                }
            }
        }
        Ok(())
    }
}
