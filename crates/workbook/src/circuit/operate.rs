//! One operating point: building the network, solving it, and settling what goes round.

use std::{
    collections::{HashMap, HashSet},
    sync::Arc,
};

use crimpbook_core::network::{
    Circuit, Condition, ElementId, Network, NetworkError, NodeId, Potential, Solution, Start,
};

use super::{
    Link, Node, Stands, Upset, What, Wiring,
    stamp::{Stamp, Stamped, ohm},
};
use crate::{
    Book,
    model::{Id, Part, PartKind},
};

/// Rounds of wires warming and economisers switching before it is said that nothing settles.
const MOST_ROUNDS: usize = 30;

/// Why an operating point is not what it seems.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// The book names no point from which voltages count, and has no source that would show it.
    NoReference,
    /// The network has no solution; in a sentence, and the part it names.
    Unsolved(String),
    /// A relay that never settles.
    Chatters(Id<Part>),
    /// It did not settle.
    Unsettled,
}

impl Trouble {
    /// In words, to stand behind "is not computed:".
    pub fn words(&self, book: &Book) -> String {
        match self {
            Self::NoReference => "no stud is named as battery negative".to_owned(),
            Self::Unsolved(why) => why.clone(),
            Self::Chatters(part) => format!("{} chatters", book.label_of(*part)),
            Self::Unsettled => "it does not settle".to_owned(),
        }
    }
}

/// An operating point. The network that was solved is not kept: [`Operated::network`] writes it again.
#[derive(Debug, Clone)]
pub struct Operated {
    solution: Solution,
    places: Arc<Places>,
    /// Factors on the copper's resistance that it settled with.
    copper: Vec<f64>,
    /// Coils with an economiser that pulled in.
    holding: HashSet<Id<Part>>,
    /// The fault in it.
    upset: Upset,
    short: Option<ElementId>,
    /// What went wrong.
    pub trouble: Vec<Trouble>,
    /// With a fault: coils whose speed decides how it ends.
    pub racing: Vec<Id<Part>>,
}

/// Where in a network everything stands; mostly the same in all states.
#[derive(Debug, PartialEq)]
struct Places {
    nodes: Vec<NodeId>,
    wires: Vec<ElementId>,
    contacts: Vec<ElementId>,
    parts: Vec<Link>,
}

impl Operated {
    /// Voltage of a point against battery negative.
    pub fn volts(&self, node: Node) -> Potential {
        self.places
            .nodes
            .get(node as usize)
            .map_or(Potential::Floating, |n| self.solution.voltage(*n))
    }

    /// Volts of one point above another, where they hang together.
    pub fn between(&self, one: Node, other: Node) -> Option<f64> {
        let at = |node: Node| self.places.nodes.get(node as usize).copied();
        self.solution.between(at(one)?, at(other)?)
    }

    /// Current of a wire from its `from` end to its `to` end, A; by its place in [`Wiring::wires`].
    pub fn wire_a(&self, at: usize) -> f64 {
        self.places
            .wires
            .get(at)
            .map_or(0.0, |e| self.solution.current_a(*e))
    }

    /// Current of a contact out of its unit into the wire, A; by its place in [`Wiring::contacts`].
    pub fn contact_a(&self, at: usize) -> f64 {
        self.places
            .contacts
            .get(at)
            .map_or(0.0, |e| self.solution.current_a(*e))
    }

    /// A part's own current from its first end to its second (a source: what it delivers; a sensor: what its output
    /// drives), A; by its place in [`Wiring::parts`].
    pub fn part_a(&self, at: usize) -> f64 {
        self.element(at, |l| l.main)
    }

    /// A sensor's supply current, A.
    pub fn part_supply_a(&self, at: usize) -> f64 {
        self.element(at, |l| l.other)
    }

    /// What a part does: starved, limited, pulled in. None: it is not in the network as it stands.
    pub fn condition(&self, at: usize) -> Option<Condition> {
        let element = self.places.parts.get(at)?.main?;
        Some(self.solution.condition(element))
    }

    fn element(&self, at: usize, which: impl Fn(&Link) -> Option<ElementId>) -> f64 {
        let element = self.places.parts.get(at).and_then(which);
        element.map_or(0.0, |e| self.solution.current_a(e))
    }

    /// The network that was solved, and what its elements stand for, its fault in it. What is given is
    /// what it was computed from.
    pub fn network(&self, given: &Given<'_>) -> (Circuit, Vec<What>) {
        let mut stamped = given.stamp(&self.holding, &self.copper).write();
        self.upset.apply(given.wiring, &mut stamped);
        (stamped.circuit, stamped.what)
    }

    /// What the network solved to.
    pub fn solution(&self) -> &Solution {
        &self.solution
    }

    /// Current through the short of an [`Upset`], A; nothing where there is none.
    pub fn short_a(&self) -> f64 {
        self.short.map_or(0.0, |e| self.solution.current_a(e))
    }
}

/// Networks made ready before: one that is joined alike lends its order of elimination.
#[derive(Debug, Clone, Default)]
pub struct Ready {
    networks: Vec<Arc<Network>>,
    /// Of a book before: they are asked where none of these is joined alike.
    former: Vec<Arc<Network>>,
    places: Vec<Arc<Places>>,
}

/// So many ways to be joined are kept.
const MOST_READY: usize = 4;

impl Ready {
    /// Nothing made ready yet but what the networks of a book before may lend.
    pub(crate) fn after(former: &Self) -> Self {
        Self {
            former: former.networks.clone(),
            ..Self::default()
        }
    }

    /// Keeps nothing of the book before.
    pub(crate) fn forget_former(&mut self) {
        self.former.clear();
    }

    /// Takes over what another one has that is joined like none of these.
    pub(crate) fn join(&mut self, other: Self) {
        for network in other.networks {
            let known = self.networks.iter().any(|n| n.is_joined_like(network.circuit()));
            if self.networks.len() < MOST_READY && !known {
                self.networks.push(network);
            }
        }
        for places in other.places {
            if self.places.len() < MOST_READY && !self.places.contains(&places) {
                self.places.push(places);
            }
        }
    }

    fn network(&mut self, circuit: Circuit) -> Result<Network, NetworkError> {
        if let Some(alike) = self.networks.iter().find(|n| n.is_joined_like(&circuit)) {
            return alike.again(circuit);
        }
        let network = match self.former.iter().find(|n| n.is_joined_like(&circuit)) {
            Some(alike) => alike.again(circuit)?,
            None => Network::new(circuit)?,
        };
        if self.networks.len() < MOST_READY {
            self.networks.push(Arc::new(network.clone()));
        }
        Ok(network)
    }

    /// The same as [`operate_upset`], wires at the given warmth.
    ///
    /// # Errors
    /// As [`operate`].
    pub fn operate_upset(
        &mut self,
        given: &Given<'_>,
        upset: &Upset,
        copper: Vec<f64>,
    ) -> Result<Operated, Trouble> {
        given.settle(upset, self, copper, |_, _| false)
    }

    fn places(&mut self, places: Places) -> Arc<Places> {
        if let Some(alike) = self.places.iter().find(|known| ***known == places) {
            return Arc::clone(alike);
        }
        let places = Arc::new(places);
        if self.places.len() < MOST_READY {
            self.places.push(Arc::clone(&places));
        }
        places
    }
}

/// The operating point of a wiring as its parts stand.
///
/// `warm` is told the wires' currents, sets the factors on their copper's resistance, and says whether that changes
/// anything worth another round.
///
/// # Errors
/// [`Trouble`] where there is no solution at all.
pub fn operate(
    given: &Given<'_>,
    ready: &mut Ready,
    copper: Vec<f64>,
    warm: impl FnMut(&[f64], &mut [f64]) -> bool,
) -> Result<Operated, Trouble> {
    given.settle(&Upset::default(), ready, copper, warm)
}

/// The same with a fault in it, from the coils that are pulled in when it happens.
///
/// # Errors
/// As [`operate`].
pub fn operate_upset(
    given: &Given<'_>,
    upset: &Upset,
    copper: Vec<f64>,
    warm: impl FnMut(&[f64], &mut [f64]) -> bool,
) -> Result<Operated, Trouble> {
    given.settle(upset, &mut Ready::default(), copper, warm)
}

/// What stays while an operating point is sought.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// The book.
    pub book: &'a Book,
    /// Its wiring.
    pub wiring: &'a Wiring,
    /// How its parts stand.
    pub stands: &'a Stands,
    /// Voltage of the supply, V.
    pub supply_v: f64,
}

impl Given<'_> {
    fn stamp<'s>(&'s self, holding: &'s HashSet<Id<Part>>, copper: &'s [f64]) -> Stamp<'s> {
        Stamp {
            book: self.book,
            wiring: self.wiring,
            stands: self.stands,
            holding,
            copper,
            supply_v: self.supply_v,
        }
    }

    fn settle(
        &self,
        upset: &Upset,
        ready: &mut Ready,
        mut copper: Vec<f64>,
        mut warm: impl FnMut(&[f64], &mut [f64]) -> bool,
    ) -> Result<Operated, Trouble> {
        let Self { book, wiring, .. } = *self;
        if wiring.reference.is_none() {
            return Err(Trouble::NoReference);
        }
        let economisers = economisers(book, wiring);
        let held = |part: &Id<Part>| economisers.contains_key(part) && upset.pulled.contains(part);
        let mut holding: HashSet<Id<Part>> = economisers.keys().copied().filter(held).collect();
        let mut trouble = Vec::new();
        let mut round = 0;
        let mut written: Option<Written> = None;
        loop {
            round += 1;
            let Written {
                stamped,
                network,
                short,
                start,
            } = match written.take() {
                Some(written) => written,
                None => {
                    let mut stamped = self.stamp(&holding, &copper).write();
                    let (short, start) = upset.apply(wiring, &mut stamped);
                    let circuit = std::mem::take(&mut stamped.circuit);
                    Written {
                        network: ready.network(circuit).map_err(unsolved)?,
                        stamped,
                        short,
                        start,
                    }
                }
            };
            let solution = network.solve(&start).map_err(unsolved)?;
            let mut changed = false;
            for (part, at) in &economisers {
                let element = stamped.parts.get(*at).and_then(|l| l.main);
                match element.map(|e| solution.condition(e)) {
                    Some(Condition::PulledIn) => changed |= holding.insert(*part),
                    // A coil that the state itself holds is not for the voltage to release.
                    Some(Condition::Starved | Condition::Open) if !upset.is_none() => {
                        changed |= holding.remove(part);
                    }
                    _ => {}
                }
            }
            let switched = changed;
            let solved_with = copper.clone();
            if !changed {
                let currents: Vec<f64> = stamped.wires.iter().map(|e| solution.current_a(*e)).collect();
                changed = warm(&currents, &mut copper);
            }
            if changed && round < MOST_ROUNDS {
                // Where wires only got warmer nothing is joined otherwise.
                if !switched && upset.is_none() {
                    let mut network = network;
                    let ohms = stamped.wires.iter().zip(&wiring.wires).zip(&copper);
                    let ohms = ohms.map(|((id, run), factor)| (*id, ohm(run.ohm(*factor))));
                    network.set_ohms(ohms).map_err(unsolved)?;
                    written = Some(Written {
                        stamped,
                        network,
                        short,
                        start,
                    });
                }
                continue;
            }
            if changed {
                trouble.push(Trouble::Unsettled);
            }
            let part = |e: &ElementId| match stamped.what.get(e.index()) {
                Some(What::Part(at)) => wiring.parts.get(*at).map(|run| run.part),
                _ => None,
            };
            let chattering = solution.chattering().iter().filter_map(part);
            trouble.extend(chattering.map(Trouble::Chatters));
            // Where a state has its relays is told; only a fault leaves them to their coils.
            let racing = if upset.is_none() {
                Vec::new()
            } else {
                let racing = network.racing(&start);
                let racing = racing.map_err(unsolved)?;
                racing.iter().filter_map(part).collect()
            };
            return Ok(Operated {
                solution,
                places: ready.places(Places {
                    nodes: stamped.nodes,
                    wires: stamped.wires,
                    contacts: stamped.contacts,
                    parts: stamped.parts,
                }),
                copper: solved_with,
                holding,
                upset: upset.clone(),
                short,
                trouble,
                racing,
            });
        }
    }
}

/// A network as it was written, to be solved.
struct Written {
    stamped: Stamped,
    network: Network,
    short: Option<ElementId>,
    start: Start,
}

fn unsolved(error: NetworkError) -> Trouble {
    Trouble::Unsolved(error.to_string())
}

/// Coils that draw less once pulled in, with their places in [`Wiring::parts`].
pub(crate) fn economisers(book: &Book, wiring: &Wiring) -> HashMap<Id<Part>, usize> {
    let economiser = |part: &Part| matches!(part.kind, PartKind::Coil { hold_a: Some(_), .. });
    let parts = wiring.parts_of(book).filter(|(_, _, part)| economiser(part));
    parts.map(|(at, _, part)| (part.id, at)).collect()
}
