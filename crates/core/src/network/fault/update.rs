//! A fault as currents beside the network as it is; [`super::currents`] finds them.

use super::currents::Currents;
use super::faulted::Updated;
use super::{Change, Faulted, Faults};
use crate::network::law::{Law, Straight};
use crate::network::layout::Pair;
use crate::network::operate::held;
use crate::network::{Element, ElementId};

/// A part that carries more than this over its only link has another, amperes.
const NO_CURRENT_A: f64 = 1e-12;

impl Faults<'_> {
    /// Solves by update with relays beginning at `begin` (none: where they are without the fault), or not where that cannot
    /// be trusted; then `near` may get voltages that are nearer to the fault's than those of the operating point.
    pub(super) fn updated(
        &self,
        changes: &[Change],
        begin: Option<&[bool]>,
        near: &mut Option<Vec<f64>>,
    ) -> Option<Faulted<'_>> {
        let settled = &self.point.settled;
        if !settled.chattering.is_empty() {
            return None;
        }
        let mut update = Update {
            faults: self,
            currents: Currents::new(self),
            changes: changes.to_vec(),
            parted: Vec::new(),
            piece: None,
        };
        for &change in changes {
            match change {
                Change::Open(id) => {
                    let at = id.index();
                    if settled.search.is_open(at) {
                        continue;
                    }
                    if self.cuts.is_cut(at) && !self.rejoins(at, changes) {
                        if changes.len() == 1 && begin.is_none() {
                            return self.island(at, change);
                        }
                        update.part(at)?;
                        continue;
                    }
                    update.open(at, None)?;
                }
                Change::Closed(id) => {
                    let element = &self.point.circuit.elements()[id.index()];
                    if let Element::Contact { ohms, .. } = *element
                        && settled.search.is_open(id.index())
                    {
                        update.bridge(settled.search.layout.pairs[id.index()], ohms, None)?;
                    }
                }
                Change::Bridge { a, b, ohms } => {
                    update.bridge(settled.search.layout.pair(a, b), ohms, None)?;
                }
            }
        }
        let of = |pulled: &[bool]| -> Vec<bool> {
            let coils = self.ports.coils.iter();
            coils.map(|coil| pulled[coil.element]).collect()
        };
        let start = of(begin.unwrap_or(&settled.pulled));
        if begin.is_some() {
            update.relays(&of(&settled.pulled), &start)?;
        }
        let mut path = vec![start];
        loop {
            let mut found = update.currents.settle();
            if found.is_none() && update.currents.unheld && update.tie_islands().is_some() {
                found = update.currents.settle();
            }
            let Some(found) = found else {
                if path.len() == 1 {
                    *near = update.currents.near.take();
                }
                return None;
            };
            let (round, at_ports) = update.currents.loads_settle(found)?;
            let now = path.last()?;
            let next = update.currents.coils_go(&at_ports, now);
            if next == *now {
                let x = update.currents.voltages(&round)?;
                return Some(Faulted::updated(self, update.done(x, &next)));
            }
            // Relays that come round again are named by a solution from nothing.
            if path.contains(&next) {
                return None;
            }
            update.relays(now, &next)?;
            path.push(next);
        }
    }

    /// Opens the only link to a part, which therefore carries nothing: only the part's hold is lost.
    fn island(&self, at: usize, change: Change) -> Option<Faulted<'_>> {
        self.parts_quietly(at)?;
        let search = &self.point.settled.search;
        let joints = &search.layout.joints;
        let beyond = |unknown| self.cuts.is_beyond(at, unknown);
        let apart = joints.ground() + 1;
        let held = (0u32..)
            .zip(&self.point.held)
            .map(|(unknown, &held)| if beyond(unknown) { apart } else { held })
            .collect();
        let updated = Updated {
            x: search.x.clone(),
            held: Some(held),
            changes: vec![change],
            pulled: None,
            loads: None,
        };
        Some(Faulted::updated(self, updated))
    }
}

impl Faults<'_> {
    /// Whether changes join again what hangs on an element alone.
    fn rejoins(&self, at: usize, changes: &[Change]) -> bool {
        let layout = self.point.settled.search.layout;
        changes.iter().any(|change| {
            let pair = match *change {
                Change::Open(_) => return false,
                Change::Closed(id) => layout.pairs[id.index()],
                Change::Bridge { a, b, .. } => layout.pair(a, b),
            };
            self.cuts.is_beyond(at, pair.tail) != self.cuts.is_beyond(at, pair.head)
        })
    }

    /// Nothing where more than a part's hold is lost by opening its only link.
    fn parts_quietly(&self, at: usize) -> Option<()> {
        let search = &self.point.settled.search;
        let joints = &search.layout.joints;
        let spans = |tail, head| self.cuts.is_beyond(at, tail) != self.cuts.is_beyond(at, head);
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
        (search.current_of(at)?.abs() <= NO_CURRENT_A).then_some(())
    }
}

/// A fault being written down.
pub(super) struct Update<'f> {
    pub(super) faults: &'f Faults<'f>,
    pub(super) currents: Currents<'f>,
    /// The fault, and what relays make of it.
    pub(super) changes: Vec<Change>,
    /// Only links to parts, that are open and carry nothing without the fault either.
    pub(super) parted: Vec<usize>,
    /// Which unknowns one tie holds, where bridges change that.
    pub(super) piece: Option<Vec<u32>>,
}

impl Update<'_> {
    /// Moves the contacts of the relays that differ.
    fn relays(&mut self, now: &[bool], next: &[bool]) -> Option<()> {
        self.untie_islands();
        let faults = self.faults;
        for ((coil, now), next) in faults.ports.coils.iter().zip(now).zip(next) {
            if now == next {
                continue;
            }
            for &(contact, with) in &coil.contacts {
                self.contact(contact, *next == with)?;
            }
        }
        Some(())
    }

    /// Moves a contact, unless the fault holds it.
    fn contact(&mut self, at: usize, closed: bool) -> Option<()> {
        let faults = self.faults;
        let search = &faults.point.settled.search;
        let id = ElementId(u32::try_from(at).ok()?);
        if let Some(moved) = self.currents.besides.iter().position(|b| b.contact == Some(at)) {
            self.currents.besides.remove(moved);
            self.changes
                .retain(|change| !matches!(*change, Change::Open(was) | Change::Closed(was) if was == id));
            return Some(());
        }
        let held =
            |change: &Change| matches!(*change, Change::Open(which) | Change::Closed(which) if which == id);
        if self.changes.iter().any(held) {
            return Some(());
        }
        if closed {
            let Element::Contact { ohms, .. } = faults.point.circuit.elements()[at] else {
                return None;
            };
            self.bridge(search.layout.pairs[at], ohms, Some(at))?;
            self.changes.push(Change::Closed(id));
        } else {
            if faults.cuts.is_cut(at) {
                return None;
            }
            self.open(at, Some(at))?;
            self.changes.push(Change::Open(id));
        }
        Some(())
    }

    /// What the update has come to, with the coils where `pulled` has them.
    fn done(self, x: Vec<f64>, pulled: &[bool]) -> Updated {
        let held = self.held(&x);
        let base = &self.faults.point.settled.pulled;
        let coils = &self.faults.ports.coils;
        let moved = coils
            .iter()
            .zip(pulled)
            .any(|(coil, pulled)| base[coil.element] != *pulled);
        let pulled = moved.then(|| {
            let mut all = base.clone();
            for (coil, pulled) in coils.iter().zip(pulled) {
                all[coil.element] = *pulled;
            }
            all
        });
        let search = &self.faults.point.settled.search;
        let Currents { work, collapsed, .. } = self.currents;
        let loads = (work != search.work || collapsed != search.collapsed).then_some((work, collapsed));
        Updated {
            x,
            held,
            changes: self.changes,
            pulled,
            loads,
        }
    }

    /// Opens the only link to a part beside other changes, none of which may join the part again.
    fn part(&mut self, at: usize) -> Option<()> {
        self.faults.parts_quietly(at)?;
        let beyond = |unknown| self.faults.cuts.is_beyond(at, unknown);
        let mut besides = self.currents.besides.iter().map(|beside| beside.pair);
        if besides.any(|pair| beyond(pair.tail) != beyond(pair.head)) {
            return None;
        }
        self.parted.push(at);
        Some(())
    }

    fn open(&mut self, at: usize, contact: Option<usize>) -> Option<()> {
        let pair = self.faults.point.settled.search.layout.pairs[at];
        let element = &self.faults.point.circuit.elements()[at];
        if matches!(element, Element::Coil { .. }) {
            return None;
        }
        match Law::of(element) {
            Law::Straight(Straight { siemens, constant_a }) => {
                self.currents
                    .beside(contact, pair, -siemens, -constant_a - siemens * pair.offset_v);
            }
            Law::Bent(_) => self.currents.open_bend(at)?,
            Law::Ratiometric => {
                let ratios = &self.faults.point.settled.search.parts.ratios;
                let (_, ratio) = ratios.iter().find(|(element, _)| *element == at)?;
                self.currents.beside_ratio(ratio);
            }
            Law::Joint => return None,
        }
        Some(())
    }

    fn bridge(&mut self, pair: Pair, ohms: f64, contact: Option<usize>) -> Option<()> {
        let search = &self.faults.point.settled.search;
        let cuts = &self.faults.cuts;
        let joins = |at: &usize| cuts.is_beyond(*at, pair.tail) != cuts.is_beyond(*at, pair.head);
        if self.parted.iter().any(joins) {
            return None;
        }
        let ground = search.layout.joints.ground();
        let piece = self.piece.as_ref().unwrap_or(&search.parts.piece);
        let (tail, head) = (piece[pair.tail as usize], piece[pair.head as usize]);
        if tail != head {
            // A relay that opens again would have to part the pieces again.
            if contact.is_some() {
                return None;
            }
            // What nothing fed may be fed over the bridge.
            let feeds = |pair: &Pair| {
                let ends = (piece[pair.tail as usize], piece[pair.head as usize]);
                ends == (tail, head) || ends == (head, tail)
            };
            if self.faults.waiting.iter().any(feeds) {
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
            self.currents.tie(gone, -1.0);
        }
        let siemens = 1.0 / ohms;
        self.currents
            .beside(contact, pair, siemens, siemens * pair.offset_v);
        Some(())
    }

    /// Which unknowns hang together, if not as without the fault.
    fn held(&self, x: &[f64]) -> Option<Vec<u32>> {
        let changes = &self.changes;
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
        // What opens is no only link: one alone parts nothing.
        let opens =
            |change: &&Change| matches!(change, Change::Open(id) if !base.settled.search.is_open(id.index()));
        let parts = !self.parted.is_empty() || changes.iter().filter(opens).count() > 1;
        if !parts && !self.currents.shut_or_opened(x) {
            return Some(together(&base.held, joined()));
        }
        let opened = self.opened();
        let cut = |element: usize| opened[element];
        Some(held(&base.settled.search.parts, x, cut, joined()))
    }

    /// Of each element whether the fault, or a relay that moved with it, opens it.
    pub(super) fn opened(&self) -> Vec<bool> {
        let mut opened = vec![false; self.faults.point.circuit.elements().len()];
        for change in &self.changes {
            if let Change::Open(id) = *change {
                opened[id.index()] = true;
            }
        }
        opened
    }
}

/// Which unknowns hang together once these do besides, each told by the lowest.
fn together(held: &[u32], joined: impl Iterator<Item = Pair>) -> Vec<u32> {
    let mut held = held.to_vec();
    for pair in joined {
        let (one, other) = (held[pair.tail as usize], held[pair.head as usize]);
        if one != other {
            let (kept, gone) = (one.min(other), one.max(other));
            for whose in &mut held {
                if *whose == gone {
                    *whose = kept;
                }
            }
        }
    }
    held
}
