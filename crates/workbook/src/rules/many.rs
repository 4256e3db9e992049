//! Many positions of the movers solved together: few from nothing, the others as small changes of those.

use crimpbook_core::network::{Change, Circuit, Driver, Element, ElementId, Network, Start};

use super::{
    graph::Element as Edge,
    plant::{OnSet, Plant, Solved},
};
use crate::circuit::Node;

/// Positions that are solved from one, at most so many movers away: with more a change is as dear as a solution from nothing (our own).
const FURTHEST: usize = 14;

/// To open a contact costs as much as to close so many: where it alone holds a part, all is solved anew (our own).
const OPENING: usize = 3;

/// What a mover does to the circuit at one place.
#[derive(Debug, Clone, Copy)]
struct Turned {
    element: ElementId,
    off: Element,
    on: Element,
}

/// How movers alter the circuit in which all rest.
#[derive(Debug)]
pub(super) struct Moving {
    rest: Circuit,
    /// Beside the model's movers.
    turned: Vec<Vec<Turned>>,
    /// Whether where all settles depends on what was before, so that each position is solved from switch-on.
    from_rest_only: bool,
}

impl Moving {
    /// Of a circuit at rest, and the same with each mover on by itself; none for one that stands apart.
    pub(super) fn of<'c>(rest: &Circuit, alone: impl Iterator<Item = Option<&'c Circuit>>) -> Self {
        let turned = |on: Option<&Circuit>| -> Vec<Turned> {
            let pairs = rest.numbered().zip(on.into_iter().flat_map(Circuit::elements));
            let differ = pairs.filter(|((_, off), on)| off != on);
            differ
                .map(|((element, off), on)| Turned {
                    element,
                    off: *off,
                    on: *on,
                })
                .collect()
        };
        let hunts = |element: &Element| matches!(element, Element::PowerLoad { .. } | Element::Coil { .. });
        Self {
            rest: rest.clone(),
            turned: alone.map(turned).collect(),
            from_rest_only: rest.elements().iter().any(hunts),
        }
    }

    fn circuit(&self, on: &OnSet) -> Circuit {
        let mut circuit = self.rest.clone();
        for mover in on {
            for turned in self.turned.get(*mover as usize).into_iter().flatten() {
                circuit.replace(turned.element, turned.on);
            }
        }
        circuit
    }

    /// How many more contacts are closed than with all at rest.
    pub(super) fn closed(&self, on: &OnSet) -> isize {
        let all = on
            .iter()
            .filter_map(|mover| self.turned.get(*mover as usize))
            .flatten();
        let closes = |element: &Element| isize::from(carries(element) != Some(false));
        all.map(|turned| closes(&turned.on) - closes(&turned.off)).sum()
    }

    /// All that leads from any position to another.
    pub(super) fn all(&self) -> Vec<Change> {
        let all = self.turned.iter().flatten();
        let changes = all.flat_map(|turned| {
            let closes = [turned.off, turned.on].into_iter();
            closes
                .filter_map(|element| closes_as(&element))
                .chain([Change::Open(turned.element)])
        });
        changes.collect()
    }

    /// The movers among these that no change turns on, only off: sources.
    pub(super) fn sources(&self, on: impl Iterator<Item = u32>) -> OnSet {
        let is_source =
            |turned: &Turned| carries(&turned.on) == Some(true) && closes_as(&turned.on).is_none();
        let turned = |mover: &u32| self.turned.get(*mover as usize).into_iter().flatten();
        let mut all: OnSet = on.filter(|mover| turned(mover).any(is_source)).collect();
        all.sort_unstable();
        all.dedup();
        // Each position is to be near the one with all of them.
        if self.from_rest_only || all.len() > FURTHEST {
            all.clear();
        }
        all
    }

    /// How far one position is from another, to find the nearest; none: no small change leads there.
    pub(super) fn far(&self, from: &OnSet, to: &OnSet) -> Option<usize> {
        let mut far = 0;
        for (mover, on) in moved(from, to) {
            for turned in self.turned.get(mover as usize).into_iter().flatten() {
                let (was, is) = turned.to(on);
                far += if carries(&was)? { OPENING } else { 0 };
                if carries(&is)? {
                    closes_as(&is)?;
                    far += 1;
                }
            }
        }
        Some(far)
    }

    /// What leads from one position to another; none: that is no small change.
    pub(super) fn between(&self, from: &OnSet, to: &OnSet) -> Option<Vec<Change>> {
        let moved: Vec<(u32, bool)> = moved(from, to).collect();
        if moved.len() > if self.from_rest_only { 0 } else { FURTHEST } {
            return None;
        }
        let mut changes = Vec::new();
        for (mover, on) in moved {
            for turned in self.turned.get(mover as usize).into_iter().flatten() {
                let (was, is) = turned.to(on);
                if carries(&was)? {
                    changes.push(Change::Open(turned.element));
                }
                if carries(&is)? {
                    changes.push(closes_as(&is)?);
                }
            }
        }
        Some(changes)
    }
}

impl Turned {
    /// What is there before it goes on or off, and then.
    fn to(&self, on: bool) -> (Element, Element) {
        if on {
            (self.off, self.on)
        } else {
            (self.on, self.off)
        }
    }
}

/// The movers that stand otherwise, and whether each goes on.
fn moved(from: &OnSet, to: &OnSet) -> impl Iterator<Item = (u32, bool)> {
    let goes_on = to.iter().filter(|m| from.binary_search(m).is_err());
    let goes_off = from.iter().filter(|m| to.binary_search(m).is_err());
    goes_on.map(|m| (*m, true)).chain(goes_off.map(|m| (*m, false)))
}

/// Whether a branch conducts; none: it is none that a small change opens.
fn carries(element: &Element) -> Option<bool> {
    match *element {
        Element::Resistance { .. } | Element::Source { .. } | Element::LimitedSource { .. } => Some(true),
        Element::Contact {
            driver: Driver::Given { closed },
            ..
        } => Some(closed),
        _ => None,
    }
}

/// A plain resistance as a bridge.
fn closes_as(element: &Element) -> Option<Change> {
    match *element {
        Element::Resistance { a, b, ohms }
        | Element::Contact {
            a,
            b,
            ohms,
            driver: Driver::Given { closed: true },
        } => Some(Change::Bridge { a, b, ohms }),
        _ => None,
    }
}

/// Takes a plain resistance out of a circuit, which stays joined alike; says whether it was one.
fn taken_away(circuit: &mut Circuit, change: Change) -> bool {
    let Change::Open(id) = change else { return false };
    let (a, b) = match circuit.elements().get(id.index()) {
        Some(Element::Resistance { a, b, .. } | Element::Contact { a, b, .. }) => (*a, *b),
        _ => return false,
    };
    let driver = Driver::Given { closed: false };
    circuit.replace(
        id,
        Element::Contact {
            a,
            b,
            ohms: 1.0,
            driver,
        },
    );
    true
}

impl Plant<'_> {
    /// Solves many positions with one fault, each with these fuses blown; a circuit that is joined alike lends its order of elimination.
    pub(super) fn solve_many(
        &self,
        keys: &[(OnSet, Vec<u32>)],
        gone: &[Edge],
        touching: Option<(Node, Node)>,
        alike: Option<&Network>,
    ) -> Vec<Solved> {
        let mut solved: Vec<Option<Solved>> = vec![None; keys.len()];
        let mut left: Vec<usize> = (0..keys.len()).collect();
        // From where least is on, since to close a contact is a small change always, to open one is none if it holds a part alone.
        left.sort_by_key(|at| keys.get(*at).map_or(0, |(on, _)| self.moving.closed(on)));
        while let Some((from, _)) = left.first().and_then(|at| keys.get(*at)) {
            // With all sources that any of them has, since those are turned off by a small change but not on.
            let left_on = left.iter().filter_map(|at| keys.get(*at));
            let sources = self
                .moving
                .sources(left_on.flat_map(|(on, _)| on.iter().copied()));
            let mut from: OnSet = from.iter().chain(&sources).copied().collect();
            from.sort_unstable();
            from.dedup();
            let mut circuit = self.moving.circuit(&from);
            let lasting = self.changes(&self.resting, &[], gone, None);
            let lasting: Vec<Change> = lasting
                .into_iter()
                .filter(|c| !taken_away(&mut circuit, *c))
                .collect();
            let made = match alike {
                Some(alike) => alike.again(circuit),
                None => Network::new(circuit),
            };
            let network = made.ok();
            let point = network.as_ref().and_then(|n| n.operate(&Start::Released).ok());
            let mut shared = self.moving.all();
            shared.extend(
                self.changes(&self.resting, &[], &[], touching)
                    .iter()
                    .chain(&lasting),
            );
            let faults = point
                .as_ref()
                .map(|point| point.faults().keeping_answers(&shared));
            left.retain(|at| {
                let Some((on, blown)) = keys.get(*at) else {
                    return false;
                };
                let Some(mut changes) = self.moving.between(&from, on) else {
                    return true;
                };
                changes.extend(self.changes(&self.resting, blown, &[], touching));
                changes.extend(&lasting);
                let found = faults.as_ref().and_then(|faults| faults.solve(&changes).ok());
                let found = found.map_or_else(|| self.unknown(), |found| self.read(&self.resting, &found));
                if let Some(place) = solved.get_mut(*at) {
                    *place = Some(found);
                }
                false
            });
        }
        let unknown = || self.unknown();
        solved.into_iter().map(|s| s.unwrap_or_else(unknown)).collect()
    }
}
