//! Parts that several open elements together leave to themselves, as a plug that is off leaves its unit.

use super::Change;
use super::update::Update;
use crate::network::Element;
use crate::network::pieces::Sets;

impl Update<'_> {
    /// Ties each part that nothing joins to the reference any more, so that it has voltages of its own. Nothing where no part is
    /// like that, or where something is fed across what opened and falls silent.
    pub(super) fn tie_islands(&mut self) -> Option<()> {
        self.untie_islands();
        if self.piece.is_some() {
            return None;
        }
        let point = self.faults.point;
        let search = &point.settled.search;
        let (layout, piece) = (search.layout, &search.parts.piece);
        let opened = self.opened();
        let carries = |at: usize| !search.is_open(at) && (!opened[at] || self.parted.contains(&at));
        let elements = || {
            point
                .circuit
                .elements()
                .iter()
                .enumerate()
                .filter(|(at, _)| carries(*at))
        };
        let mut sets = Sets::new(search.x.len());
        for (at, element) in elements() {
            if !matches!(element, Element::Current { .. }) {
                sets.join(layout.pairs[at].tail, layout.pairs[at].head);
            }
        }
        for change in &self.changes {
            let pair = match *change {
                Change::Open(_) => continue,
                Change::Closed(id) => layout.pairs[id.index()],
                Change::Bridge { a, b, .. } => layout.pair(a, b),
            };
            sets.join(pair.tail, pair.head);
        }
        for (at, element) in elements() {
            let fed = match *element {
                Element::Current { .. } => layout.pairs[at],
                Element::Ratiometric { low, high, .. } => layout.pair(low, high),
                _ => continue,
            };
            if sets.find(fed.tail) != sets.find(fed.head) {
                return None;
            }
        }
        let ground = layout.joints.ground();
        let held = sets.find(ground);
        let mut loose = Vec::new();
        for lowest in 0..ground {
            let tie = piece[lowest as usize];
            let tied = tie != piece[ground as usize] && sets.find(tie) == lowest;
            if sets.find(lowest) == lowest && lowest != held && !tied {
                loose.push(lowest);
            }
        }
        for &lowest in &loose {
            self.currents.tie(lowest, 1.0);
        }
        (!loose.is_empty()).then_some(())
    }

    /// Takes those ties away, since what moves may join the parts again.
    pub(super) fn untie_islands(&mut self) {
        self.currents.unheld = false;
        self.currents
            .besides
            .retain(|beside| !(beside.is_tie && beside.siemens > 0.0));
    }
}
