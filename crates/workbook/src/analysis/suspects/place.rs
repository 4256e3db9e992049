//! Where leads can be put.

use std::collections::HashSet;

use crate::{
    analysis::{Snapshot, StateResult},
    circuit::{Node, Stand},
    measure,
    model::{Cavity, Connector, End, Id, Part, PartKind, PartPosition, SignalKind, Terminal, Unit, Zone},
};

/// A cavity to probe from the wire's side, and where the second lead goes.
#[derive(Debug, Clone)]
pub struct Place {
    /// The first lead.
    pub at: Id<Cavity>,
    /// The second: the unit's own ground, else battery negative (free).
    pub against: End,
    /// What stands there is not told by the plan: its driver switches to and fro or is assumed, and no reading counts.
    pub untold: bool,
    /// How easily it is reached, 1 the easiest.
    pub ease: f64,
    pub(super) nodes: [Node; 2],
    /// Its manual allows so much, V.
    pub(super) most_v: Option<f64>,
}

/// A sealed plug, or one in a wet zone, is left for later where another tells nearly as much (our own).
const SEALED_EASE: f64 = 0.9;
const WET_EASE: f64 = 0.85;

/// Every cavity that a wire or bridge joins, connector by connector.
pub(super) fn places(see: &Snapshot, of: &StateResult) -> Vec<Place> {
    let (book, nodes) = (see.book(), &see.wiring().nodes);
    let untold = untold(see, of);
    let mut all = Vec::new();
    for (connector, cavities) in measure::joined(book) {
        let zone: Option<&Zone> = book
            .get(connector.unit)
            .and_then(|u: &Unit| u.zone)
            .and_then(|z| book.get(z));
        let wet = zone.is_some_and(|z| z.wet);
        let ease = if wet { WET_EASE } else { 1.0 }
            * if connector.sealed == Some(true) {
                SEALED_EASE
            } else {
                1.0
            };
        for cavity in cavities {
            let side = |id: Id<Cavity>| nodes.wire_side(id).or_else(|| nodes.unit_side(id));
            let against = if cavity.kind == Some(SignalKind::Ground) {
                measure::negative(book).map_or(End::Free, End::Junction)
            } else {
                measure::ground_of(see, connector.unit, cavity.id)
            };
            let ground = match against {
                End::Cavity(id) => side(id),
                End::Junction(id) => nodes.junction(id),
                End::Free => see.wiring().reference,
            };
            let (Some(at), Some(ground)) = (side(cavity.id), ground) else {
                continue;
            };
            all.push(Place {
                at: cavity.id,
                against,
                untold: untold.contains(&cavity.id),
                ease,
                nodes: [at, ground],
                most_v: cavity.limits.most_v,
            });
        }
    }
    all
}

/// Cavities on a net whose driver's position is assumed, or switches to and fro.
fn untold(see: &Snapshot, of: &StateResult) -> HashSet<Id<Cavity>> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let mut all = HashSet::new();
    for part in book.all::<Part>().values().filter(|p| is_untold(of, p)) {
        for end in part.ends.iter().take(1) {
            let Terminal::Cavity(cavity) = end else {
                continue;
            };
            let net = nets.at_cavity(*cavity);
            for other in book.all::<Cavity>().keys() {
                if net.is_some() && nets.at_cavity(*other) == net {
                    all.insert(*other);
                }
            }
        }
    }
    all
}

/// Whether nobody can say what a part's output is at.
pub(super) fn is_untold(of: &StateResult, part: &Part) -> bool {
    let PartKind::Output { .. } = part.kind else {
        return false;
    };
    of.stands.assumed.contains(&part.id)
        || matches!(of.stands.get(part.id), Stand::Given(PartPosition::Travel(_)))
}

impl Place {
    /// The connector it is in.
    pub fn connector(&self, see: &Snapshot) -> Option<Id<Connector>> {
        see.book().get(self.at).map(|c| c.connector)
    }

    /// Whether the second lead is on the unit's own ground.
    pub(super) fn is_own_ground(&self, see: &Snapshot) -> bool {
        let ground = see
            .unit_of(self.at)
            .and_then(|unit| see.wiring().grounds.get(&unit).cloned());
        match (self.against, ground) {
            (End::Cavity(id), Some(Terminal::Cavity(ground))) => id == ground,
            (End::Junction(id), Some(Terminal::Junction(ground))) => id == ground,
            _ => false,
        }
    }

    /// Where the second lead goes, in words.
    pub fn against_words(&self, see: &Snapshot) -> String {
        match self.against {
            End::Free => "battery −".to_owned(),
            end => see.book().end_name(end),
        }
    }
}
