//! The network with a fault.

use super::anew::altered;
use super::{Change, Faults};
use crate::network::law::{Law, Straight};
use crate::network::operate::{Parts, Search, Settled};
use crate::network::read::read;
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

/// Reached by update: relays and loads are as without the fault.
#[derive(Debug)]
pub(super) struct Updated {
    /// Volts of the unknowns.
    pub(super) x: Vec<f64>,
    /// Which unknowns hang together, where the fault changes that.
    pub(super) held: Option<Vec<u32>>,
    pub(super) changes: Vec<Change>,
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

    /// Whether it took a solution from nothing, for a relay that moved, a load that started or dropped out,
    /// or an update that would have lost digits.
    #[must_use]
    pub fn is_anew(&self) -> bool {
        matches!(self.kind, Kind::Anew(_))
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
                let work = self
                    .search()
                    .bend_of(element.index())
                    .map(|at| self.search().work[at]);
                work.map_or(0.0, |work| law.flow(u, work).current_a)
            }
            Law::Ratiometric | Law::Joint => self.solution().current_a(element),
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
        let (base, pulled) = (self.search(), &self.faults.point.settled.pulled);
        let altered = altered(&updated.changes);
        let parts = Parts::new(circuit, base.layout, pulled, &altered);
        let mut search = Search::new(base.layout, parts, updated.x.clone());
        for (at, bend) in search.parts.bends.iter().enumerate() {
            if let Some(was) = base.bend_of(bend.element) {
                search.work[at] = base.work[was];
                search.collapsed[at] = base.collapsed[was];
            }
        }
        let (chattering, round, path) = (Vec::new(), Vec::new(), Vec::new());
        let settled = Settled {
            search,
            pulled: pulled.clone(),
            chattering,
            round,
            path,
        };
        read(circuit, &settled, &altered.bridges)
    }
}
