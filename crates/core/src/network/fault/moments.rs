//! A fault as it happens, and what lasts once its fuses have opened.

use super::{Change, Faulted, Faults};
use crate::network::operate::From;
use crate::network::{ElementId, NetworkError};

/// More currents than this beyond the healthy one are the fault's doing, as a share.
const MORE: f64 = 1.01;

/// A fuse, and from which current on it is taken to open, amperes: the gate of its standard, 135 % of the
/// rating for the common ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuseGate {
    /// The resistance that it is.
    pub fuse: ElementId,
    /// Amperes, above zero.
    pub opens_a: f64,
}

/// Both moments of a fault.
#[derive(Debug)]
pub struct Moments<'f> {
    /// As it happens.
    pub first: Faulted<'f>,
    /// Fuses that then open, the one farthest beyond its gate first, with the amperes that open it.
    pub opened: Vec<(ElementId, f64)>,
    /// What lasts, if any fuse opened.
    pub lasting: Option<Faulted<'f>>,
}

impl Moments<'_> {
    /// What lasts.
    #[must_use]
    pub fn last(&self) -> &Faulted<'_> {
        self.lasting.as_ref().unwrap_or(&self.first)
    }
}

impl Faults<'_> {
    /// Solves a fault in service, then opens one fuse after the other that carries more than it does without
    /// the fault and than its gate. Relays go on from where the moment before has left them.
    ///
    /// # Errors
    /// As [`Faults::solve`].
    pub fn moments(&self, changes: &[Change], fuses: &[FuseGate]) -> Result<Moments<'_>, NetworkError> {
        let first = self.solve(changes)?;
        let mut moments = Moments {
            first,
            opened: Vec::new(),
            lasting: None,
        };
        let mut changes = changes.to_vec();
        while let Some((fuse, current_a)) = self.next_to_open(&changes, fuses, moments.last()) {
            let pulled = moments.last().pulled();
            changes.push(Change::Open(fuse));
            let lasting = if pulled == self.point.settled.pulled {
                self.solve(&changes)?
            } else {
                match self.updated(&changes, Some(&pulled), &mut None) {
                    Some(faulted) => faulted,
                    None => self.anew(&changes, pulled, &From::Service(&self.point.settled.search))?,
                }
            };
            moments.opened.push((fuse, current_a));
            moments.lasting = Some(lasting);
        }
        Ok(moments)
    }

    fn next_to_open(
        &self,
        changes: &[Change],
        fuses: &[FuseGate],
        now: &Faulted<'_>,
    ) -> Option<(ElementId, f64)> {
        let healthy = self.point.solution();
        let whole = |gate: &&FuseGate| !changes.contains(&Change::Open(gate.fuse));
        let beyond = |gate: &FuseGate| {
            let current_a = now.current_a(gate.fuse).abs();
            let more = current_a > MORE * healthy.current_a(gate.fuse).abs();
            (more && current_a >= gate.opens_a).then_some((gate.fuse, current_a, current_a / gate.opens_a))
        };
        let fuses = fuses.iter().filter(whole).filter_map(beyond);
        let worst = fuses.max_by(|one, other| one.2.total_cmp(&other.2))?;
        Some((worst.0, worst.1))
    }
}
