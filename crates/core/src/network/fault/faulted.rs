//! The network with a fault.

use super::anew::altered;
use super::{Change, Faults};
use crate::network::law::{Law, Straight, Work};
use crate::network::operate::Search;
use crate::network::read::{Found, conditions};
use crate::network::{ElementId, NodeId, Potential, Solution};

/// Where a fault leads.
#[derive(Debug)]
pub struct Faulted<'f> {
    faults: &'f Faults<'f>,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    Updated(Updated),
    Anew(Box<Solution>),
}

/// Reached by update.
#[derive(Debug)]
pub(super) struct Updated {
    /// Volts of the unknowns.
    pub(super) x: Vec<f64>,
    /// Which unknowns hang together, where the fault changes that.
    pub(super) held: Option<Vec<u32>>,
    /// The fault, and the contacts that move with it.
    pub(super) changes: Vec<Change>,
    /// Of each element whether it is a coil that is pulled in, where that changes.
    pub(super) pulled: Option<Vec<bool>>,
    /// What each bend does and whether it collapsed, where that changes.
    pub(super) loads: Option<(Vec<Work>, Vec<bool>)>,
}

impl<'f> Faulted<'f> {
    pub(super) fn anew(faults: &'f Faults<'f>, solution: Solution) -> Self {
        Self {
            faults,
            kind: Kind::Anew(Box::new(solution)),
        }
    }

    pub(super) fn updated(faults: &'f Faults<'f>, updated: Updated) -> Self {
        Self {
            faults,
            kind: Kind::Updated(updated),
        }
    }

    /// Whether it took a solution from nothing, for relays that come round again, or for an update that
    /// would have lost digits.
    #[must_use]
    pub fn is_anew(&self) -> bool {
        self.solved_from_nothing().is_some()
    }

    pub(super) fn faults(&self) -> &'f Faults<'f> {
        self.faults
    }

    /// The solution from nothing, if it took one.
    pub(super) fn solved_from_nothing(&self) -> Option<&Solution> {
        match &self.kind {
            Kind::Anew(solution) => Some(solution),
            Kind::Updated(_) => None,
        }
    }

    /// Voltage of a node against the reference.
    #[must_use]
    pub fn voltage(&self, node: NodeId) -> Potential {
        let updated = match &self.kind {
            Kind::Anew(solution) => return solution.voltage(node),
            Kind::Updated(updated) => updated,
        };
        if node.index() >= self.faults.point.circuit.node_count() {
            return Potential::Floating;
        }
        let joints = &self.search().layout.joints;
        let piece = updated.held.as_ref().unwrap_or(&self.faults.point.held);
        if piece[joints.of(node) as usize] == piece[joints.ground() as usize] {
            Potential::At(joints.volts(node, &updated.x))
        } else {
            Potential::Floating
        }
    }

    /// Volts of `a` above `b`, also where both float but hang together; `None` where they do not, or where relays chatter there.
    #[must_use]
    pub fn between(&self, a: NodeId, b: NodeId) -> Option<f64> {
        let updated = match &self.kind {
            Kind::Anew(solution) => return solution.between(a, b),
            Kind::Updated(updated) => updated,
        };
        let nodes = self.faults.point.circuit.node_count();
        let joints = &self.search().layout.joints;
        let piece = updated.held.as_ref().unwrap_or(&self.faults.point.held);
        let known = a.index() < nodes && b.index() < nodes;
        (known && piece[joints.of(a) as usize] == piece[joints.of(b) as usize])
            .then(|| joints.volts(a, &updated.x) - joints.volts(b, &updated.x))
    }

    /// Current through an element, amperes. For a voltage without resistance it costs a whole
    /// [`Faulted::solution`].
    #[must_use]
    pub fn current_a(&self, element: ElementId) -> f64 {
        let updated = match &self.kind {
            Kind::Anew(solution) => return solution.current_a(element),
            Kind::Updated(updated) => updated,
        };
        let Some(part) = self.faults.point.circuit.elements().get(element.index()) else {
            return 0.0;
        };
        let forced = updated.changes.iter().find_map(|change| match *change {
            Change::Open(id) => (id == element).then_some(false),
            Change::Closed(id) => (id == element).then_some(true),
            Change::Bridge { .. } => None,
        });
        if !forced.unwrap_or(!self.search().is_open(element.index())) {
            return 0.0;
        }
        let u = self.search().layout.pairs[element.index()].across(&updated.x);
        match Law::of(part) {
            Law::Straight(Straight { siemens, constant_a }) => siemens * u + constant_a,
            Law::Bent(law) => {
                let works = updated
                    .loads
                    .as_ref()
                    .map_or(&self.search().work, |(work, _)| work);
                let work = self.search().bend_of(element.index()).map(|at| works[at]);
                work.map_or(0.0, |work| law.flow(u, work).current_a)
            }
            Law::Ratiometric | Law::Joint => self.solution().current_a(element),
        }
    }

    /// Of each element whether it is a coil that is pulled in.
    pub(super) fn pulled(&self) -> Vec<bool> {
        let base = &self.faults.point.settled.pulled;
        match &self.kind {
            Kind::Updated(updated) => updated.pulled.as_ref().unwrap_or(base).clone(),
            Kind::Anew(solution) => {
                let mut pulled = vec![false; base.len()];
                for coil in solution.pulled_in() {
                    pulled[coil.index()] = true;
                }
                pulled
            }
        }
    }

    /// Everything.
    #[must_use]
    pub fn solution(&self) -> Solution {
        match &self.kind {
            Kind::Anew(solution) => (**solution).clone(),
            Kind::Updated(updated) => self.read(updated),
        }
    }

    fn search(&self) -> &Search<'f> {
        &self.faults.point.settled.search
    }

    fn read(&self, updated: &Updated) -> Solution {
        let circuit = self.faults.point.circuit;
        let base = self.search();
        let pulled = updated
            .pulled
            .as_ref()
            .unwrap_or(&self.faults.point.settled.pulled);
        let (work, collapsed) = updated
            .loads
            .as_ref()
            .map_or((&base.work, &base.collapsed), |(work, collapsed)| {
                (work, collapsed)
            });
        let bridges = altered(&updated.changes).bridges;
        let mut open = base.parts.open.clone();
        for change in &updated.changes {
            match *change {
                Change::Open(id) => open[id.index()] = true,
                Change::Closed(id) => open[id.index()] = false,
                Change::Bridge { .. } => {}
            }
        }
        let bends = || {
            let bends = base.parts.bends.iter().zip(work).zip(collapsed);
            let bends = bends.filter(|((bend, _), _)| !open[bend.element]);
            bends.map(|((bend, &work), &collapsed)| {
                let u = bend.pair.across(&updated.x);
                (bend.element, &bend.law, u, work, collapsed)
            })
        };
        let mut current_a = base.straight_currents(&updated.x, circuit.elements().len());
        for change in &updated.changes {
            match *change {
                Change::Open(id) => current_a[id.index()] = 0.0,
                Change::Closed(id) if base.is_open(id.index()) => {
                    if let Law::Straight(law) = Law::of(&circuit.elements()[id.index()]) {
                        let u = base.layout.pairs[id.index()].across(&updated.x);
                        current_a[id.index()] = law.siemens * u + law.constant_a;
                    }
                }
                Change::Closed(_) | Change::Bridge { .. } => {}
            }
        }
        for (element, law, u, work, _) in bends() {
            current_a[element] = law.flow(u, work).current_a;
        }
        Found {
            circuit,
            layout: base.layout,
            x: &updated.x,
            held: updated.held.as_ref().unwrap_or(&self.faults.point.held),
            pulled,
            bridges: &bridges,
        }
        .read(current_a, conditions(circuit, |at| open[at], pulled, bends()))
    }
}
