//! Coils that move contacts, until all stay as they are.

use super::parts::{Altered, Parts};
use super::search::{Failure, Search};
use crate::network::law::Work;
use crate::network::layout::Layout;
use crate::network::{Circuit, Element, ElementId, NetworkError};

/// Where the relays are when the computing begins. A fault in service and the same fault at switch-on can
/// end differently.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Start {
    /// All have dropped out: switch-on.
    #[default]
    Released,
    /// These coils are pulled in, all others have dropped out: in service.
    PulledIn(Vec<ElementId>),
}

impl Start {
    /// Of each element whether it is a coil that is pulled in.
    pub(crate) fn pulled(&self, circuit: &Circuit) -> Vec<bool> {
        let mut pulled = vec![false; circuit.elements().len()];
        if let Self::PulledIn(coils) = self {
            for coil in coils {
                if let Some(Element::Coil { .. }) = circuit.elements().get(coil.index()) {
                    pulled[coil.index()] = true;
                }
            }
        }
        pulled
    }
}

/// Where a circuit settles.
#[derive(Debug, Clone)]
pub(crate) struct Settled<'l> {
    pub(crate) search: Search<'l>,
    /// Of each element whether it is a coil that is pulled in.
    pub(crate) pulled: Vec<bool>,
    /// Coils that never stay, in the order of the circuit.
    pub(crate) chattering: Vec<ElementId>,
    /// With chattering, every position that comes round.
    pub(crate) round: Vec<Search<'l>>,
    /// The positions gone through, as `pulled`, the last one's included.
    pub(crate) path: Vec<Vec<bool>>,
}

/// Where a computing begins.
pub(crate) enum From<'b> {
    /// No voltage, loads not started.
    Rest,
    /// Voltages that are thought to be near, loads not started.
    Guess(&'b [f64]),
    /// Another circuit's operating point, or this one's, with loads at work.
    Service(&'b Search<'b>),
    /// The same, and voltages that are thought to be nearer.
    Near(&'b Search<'b>, Vec<f64>),
}

/// Moves coils, all at once, from where `pulled` has them until they stay or come round again.
pub(crate) fn operate<'l>(
    circuit: &Circuit,
    layout: &'l Layout,
    altered: &Altered,
    mut pulled: Vec<bool>,
    from: &From<'_>,
) -> Result<Settled<'l>, NetworkError> {
    let mut path = vec![pulled.clone()];
    let mut seen: Vec<Search<'l>> = Vec::new();
    loop {
        let parts = Parts::new(circuit, layout, &pulled, altered);
        let before = match (seen.last(), from) {
            (Some(before), _) => Some(before),
            (None, From::Service(before) | From::Near(before, _)) => Some(*before),
            (None, From::Rest | From::Guess(_)) => None,
        };
        let x = match (seen.is_empty(), from) {
            (true, From::Near(_, x)) => x.clone(),
            (true, From::Guess(x)) => x.to_vec(),
            _ => before.map_or_else(|| layout.rest(), |before| before.x.clone()),
        };
        let mut search = Search::new(layout, parts, x);
        let settled = match before {
            Some(before) => search.settle_from(before),
            None => search.settle(),
        };
        settled.map_err(|failure| told(circuit, failure))?;
        let next = moved(circuit, &search, &pulled);
        if next == pulled {
            return Ok(Settled {
                search,
                pulled,
                chattering: Vec::new(),
                round: Vec::new(),
                path,
            });
        }
        seen.push(search);
        if let Some(back) = path.iter().position(|before| *before == next) {
            let moves = |id: &ElementId| path[back..].iter().any(|at| at[id.index()] != next[id.index()]);
            let chattering = circuit.numbered().map(|(id, _)| id).filter(moves).collect();
            let round = seen.split_off(back);
            let search = round.first().cloned().ok_or(NetworkError::Singular)?;
            path.push(next.clone());
            return Ok(Settled {
                search,
                pulled: next,
                chattering,
                round,
                path,
            });
        }
        path.push(next.clone());
        pulled = next;
    }
}

/// The operating point at relay positions and doings of power loads that are known to be where it ended: coils by
/// `pulled`, loads as in `before` but for `loads` (element, what it does, whether it collapsed). None where they would not stay.
pub(crate) fn settle_at<'l>(
    circuit: &Circuit,
    layout: &'l Layout,
    altered: &Altered,
    pulled: Vec<bool>,
    before: &Search<'l>,
    loads: &[(ElementId, Work, bool)],
) -> Option<Settled<'l>> {
    let parts = Parts::new(circuit, layout, &pulled, altered);
    let mut search = Search::new(layout, parts, before.x.clone());
    search.settle_at(before, loads).ok()?;
    (moved(circuit, &search, &pulled) == pulled).then(|| Settled {
        search,
        path: vec![pulled.clone()],
        pulled,
        chattering: Vec::new(),
        round: Vec::new(),
    })
}

/// Where the coils go from the voltages found.
fn moved(circuit: &Circuit, search: &Search<'_>, pulled: &[bool]) -> Vec<bool> {
    let mut next = pulled.to_vec();
    for (id, element) in circuit.numbered() {
        let Element::Coil {
            pull_in_v,
            drop_out_v,
            ..
        } = *element
        else {
            continue;
        };
        let volts = search.layout.pairs[id.index()].across(&search.x).abs();
        // A coil that is forced open has no field.
        next[id.index()] =
            !search.is_open(id.index()) && volts >= if pulled[id.index()] { drop_out_v } else { pull_in_v };
    }
    next
}

fn told(circuit: &Circuit, failure: Failure) -> NetworkError {
    match failure {
        Failure::Singular => NetworkError::Singular,
        Failure::Unsettled(worst) => {
            let tag = circuit.tags().get(worst.element).copied().unwrap_or(0);
            let element = ElementId(u32::try_from(worst.element).unwrap_or(u32::MAX));
            NetworkError::NotConverged {
                element,
                tag,
                change_v: worst.change_v,
            }
        }
    }
}
