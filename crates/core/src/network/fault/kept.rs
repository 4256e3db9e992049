//! What is kept of a hard fault, so that its voltages can be given again at once.

use super::anew::altered;
use super::{Change, Faulted, Faults};
use crate::network::law::Work;
use crate::network::operate::settle_at;
use crate::network::read::read;
use crate::network::{Condition, Element, ElementId, NetworkError, Solution};

/// Where a fault left relays and power loads, as far as not where the operating point has them: a few numbers
/// in place of every voltage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ended {
    moved: Vec<ElementId>,
    loads: Vec<(ElementId, Work, bool)>,
}

impl Faulted<'_> {
    /// What to keep of it for [`Faults::solve_again`]; nothing where that would be no quicker: where it was
    /// found by update, or where relays chatter.
    #[must_use]
    pub fn ended(&self) -> Option<Ended> {
        self.solved_from_nothing()
            .filter(|solution| solution.chattering.is_empty())
            .map(|solution| self.faults().ended(solution))
    }
}

impl Faults<'_> {
    fn ended(&self, solution: &Solution) -> Ended {
        let settled = &self.point.settled;
        let mut pulled = vec![false; settled.pulled.len()];
        for coil in solution.pulled_in() {
            pulled[coil.index()] = true;
        }
        let circuit = self.point.circuit;
        let moved = circuit
            .numbered()
            .map(|(id, _)| id)
            .filter(|id| pulled[id.index()] != settled.pulled[id.index()])
            .collect();
        let loads = circuit.numbered().filter_map(|(id, element)| {
            let Element::PowerLoad { .. } = element else {
                return None;
            };
            let (work, collapsed) = match solution.condition(id) {
                Condition::Collapsed => (Work::DroppedOut, true),
                Condition::Starved => (Work::DroppedOut, false),
                _ => (Work::Running, false),
            };
            let was = settled.search.bend_of(id.index())?;
            let same = settled.search.work[was] == work && settled.search.collapsed[was] == collapsed;
            (!same).then_some((id, work, collapsed))
        });
        Ended {
            moved,
            loads: loads.collect(),
        }
    }

    /// The same as [`Faults::solve`] for a fault that was solved before and of which `ended` was kept, without
    /// the way there.
    ///
    /// # Errors
    /// As [`Faults::solve`].
    pub fn solve_again(
        &self,
        changes: &[Change],
        ended: Option<&Ended>,
    ) -> Result<Faulted<'_>, NetworkError> {
        self.check(changes)?;
        let Some(ended) = ended else {
            return self.solve(changes);
        };
        let settled = &self.point.settled;
        let mut pulled = settled.pulled.clone();
        for coil in &ended.moved {
            pulled[coil.index()] = !pulled[coil.index()];
        }
        let (circuit, layout) = (self.point.circuit, settled.search.layout);
        let altered = altered(changes);
        match settle_at(circuit, layout, &altered, pulled, &settled.search, &ended.loads) {
            Some(settled) => Ok(Faulted::anew(self, read(circuit, &settled, &altered.bridges))),
            None => self.solve(changes),
        }
    }
}
