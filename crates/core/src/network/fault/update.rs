//! A fault as currents beside the network as it is; [`super::currents`] finds them.

use super::currents::Currents;
use super::faulted::Updated;
use super::{Change, Faulted, Faults};
use crate::network::Element;
use crate::network::law::{Law, Straight};
use crate::network::layout::Pair;
use crate::network::operate::held;

/// A part that carries more than this over its only link has another, amperes.
const NO_CURRENT_A: f64 = 1e-12;

impl Faults<'_> {
    /// Solves by update, or not where that cannot be trusted.
    pub(super) fn updated(&self, changes: &[Change]) -> Option<Faulted<'_>> {
        let settled = &self.point.settled;
        if !settled.chattering.is_empty() {
            return None;
        }
        let mut update = Update {
            faults: self,
            currents: Currents::new(self),
            piece: None,
        };
        for &change in changes {
            match change {
                Change::Open(id) => {
                    let at = id.index();
                    if settled.search.is_open(at) {
                        continue;
                    }
                    if self.cuts.is_cut(at) {
                        // Several changes at once may join the part again.
                        return if changes.len() == 1 {
                            self.island(at, change)
                        } else {
                            None
                        };
                    }
                    update.open(at)?;
                }
                Change::Closed(id) => {
                    let element = &self.point.circuit.elements()[id.index()];
                    if let Element::Contact { ohms, .. } = *element
                        && settled.search.is_open(id.index())
                    {
                        update.bridge(settled.search.layout.pairs[id.index()], ohms)?;
                    }
                }
                Change::Bridge { a, b, ohms } => update.bridge(settled.search.layout.pair(a, b), ohms)?,
            }
        }
        let x = update.currents.voltages()?;
        let held = update.held(&x, changes);
        Some(Faulted::updated(
            self,
            Updated {
                x,
                held,
                changes: changes.to_vec(),
            },
        ))
    }

    /// Opens the only link to a part, which therefore carries nothing: only the part's hold is lost.
    fn island(&self, at: usize, change: Change) -> Option<Faulted<'_>> {
        let search = &self.point.settled.search;
        let joints = &search.layout.joints;
        let beyond = |unknown| self.cuts.is_beyond(at, unknown);
        let spans = |tail, head| beyond(tail) != beyond(head);
        // What is fed across the link falls silent with it, and what was held shut across it may open.
        for (other, element) in self.point.circuit.elements().iter().enumerate() {
            let pair = search.layout.pairs[other];
            let across = match *element {
                Element::Ratiometric { low, high, .. } => spans(joints.of(low), joints.of(high)),
                _ => spans(pair.tail, pair.head),
            };
            if across && other != at && !search.is_open(other) {
                return None;
            }
        }
        if search.current_of(at)?.abs() > NO_CURRENT_A {
            return None;
        }
        let apart = joints.ground() + 1;
        let held = (0u32..)
            .zip(&self.point.held)
            .map(|(unknown, &held)| if beyond(unknown) { apart } else { held })
            .collect();
        let updated = Updated {
            x: search.x.clone(),
            held: Some(held),
            changes: vec![change],
        };
        Some(Faulted::updated(self, updated))
    }
}

/// A fault being written down.
struct Update<'f> {
    faults: &'f Faults<'f>,
    currents: Currents<'f>,
    /// Which unknowns one tie holds, where bridges change that.
    piece: Option<Vec<u32>>,
}

impl Update<'_> {
    fn open(&mut self, at: usize) -> Option<()> {
        let pair = self.faults.point.settled.search.layout.pairs[at];
        let element = &self.faults.point.circuit.elements()[at];
        if matches!(element, Element::Coil { .. }) {
            return None;
        }
        match Law::of(element) {
            Law::Straight(Straight { siemens, constant_a }) => {
                self.currents
                    .beside(pair, -siemens, -constant_a - siemens * pair.offset_v);
            }
            Law::Bent(_) => self.currents.open_bend(at)?,
            Law::Ratiometric | Law::Joint => return None,
        }
        Some(())
    }

    fn bridge(&mut self, pair: Pair, ohms: f64) -> Option<()> {
        let search = &self.faults.point.settled.search;
        let ground = search.layout.joints.ground();
        let piece = self.piece.as_ref().unwrap_or(&search.parts.piece);
        let (tail, head) = (piece[pair.tail as usize], piece[pair.head as usize]);
        if tail != head {
            let waits = |(at, element): (usize, &Element)| {
                matches!(element, Element::Current { .. } | Element::Ratiometric { .. }) && search.is_open(at)
            };
            // What nothing fed may be fed over the bridge.
            if self.faults.point.circuit.elements().iter().enumerate().any(waits) {
                return None;
            }
            let (kept, gone) = if tail == piece[ground as usize] {
                (tail, head)
            } else {
                (head, tail)
            };
            self.piece = Some(
                piece
                    .iter()
                    .map(|&own| if own == gone { kept } else { own })
                    .collect(),
            );
            // The unknown that names a floating piece ties it to the reference, which it no longer needs.
            let tie = search.layout.tie(gone);
            self.currents.beside(tie, -1.0, 0.0);
        }
        let siemens = 1.0 / ohms;
        self.currents.beside(pair, siemens, siemens * pair.offset_v);
        Some(())
    }

    /// Which unknowns hang together, if not as without the fault.
    fn held(&self, x: &[f64], changes: &[Change]) -> Option<Vec<u32>> {
        let base = self.faults.point;
        let layout = base.settled.search.layout;
        let joins = |change: &Change| match *change {
            Change::Open(_) => None,
            Change::Closed(id) => Some(layout.pairs[id.index()]),
            Change::Bridge { a, b, .. } => Some(layout.pair(a, b)),
        };
        let joined = || changes.iter().filter_map(joins);
        let apart = |pair: Pair| base.held[pair.tail as usize] != base.held[pair.head as usize];
        if changes.len() == 1 && !self.currents.shut_or_opened(x) && !joined().any(apart) {
            return None;
        }
        let is_open = |change: &Change, element| matches!(change, Change::Open(id) if id.index() == element);
        let cut = |element| changes.iter().any(|change| is_open(change, element));
        Some(held(&base.settled.search.parts, x, cut, joined()))
    }
}
