//! A fault as changes of the circuit: every way in which it may lie.

use crate::{
    analysis::{
        Snapshot,
        protect::FuseAt,
        suppose::{Failing, Touch, contacts_of, place},
    },
    circuit::Node,
    model::{Cavity, Decision, End, Id, Wire},
};

/// One change of the circuit; places in the wiring's lists.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Act {
    OpenWire(usize),
    OpenContact(usize),
    OpenPath(usize),
    /// A fuse way that is open.
    OpenPart(usize),
    /// A contact that stays as when operated, or as at rest.
    Stuck(usize, bool),
    Short(Node, Node),
}

/// Every way: a wire may have come off anywhere along it or out of either cavity, a short may lie at either end.
///
/// # Errors
/// What is missing to say what it touches.
pub(super) fn ways(see: &Snapshot, failing: Failing) -> Result<Vec<Vec<Act>>, &'static str> {
    Ok(match failing {
        Failing::Wire(at, Touch::Off) => {
            let mut all = vec![vec![Act::OpenWire(at)]];
            all.extend(contacts_alone(see, at).map(|contact| vec![Act::OpenContact(contact)]));
            all
        }
        Failing::Wire(at, touch) => shorts(see, at, touch)?,
        Failing::Fuse(fuse) => {
            let zones = see.protection().zones.iter().filter(|z| z.fuse == fuse);
            let open = zones.map(|zone| match zone.at {
                FuseAt::Part(at) => Act::OpenPart(at),
                FuseAt::Wire(at) => Act::OpenWire(at),
            });
            vec![open.collect()]
        }
        Failing::Path(at) => vec![vec![Act::OpenPath(at)]],
        Failing::Plug(connector) => {
            vec![
                contacts_of(see, connector)
                    .into_iter()
                    .map(Act::OpenContact)
                    .collect(),
            ]
        }
        Failing::Contact { part, operated } => vec![vec![Act::Stuck(part, operated)]],
    })
}

/// Contacts in which a wire ends alone: one that is not home leaves the wire off as well.
fn contacts_alone(see: &Snapshot, at: usize) -> impl Iterator<Item = usize> {
    let (book, wiring) = (see.book(), see.wiring());
    let wire: Option<&Wire> = wiring.wires.get(at).and_then(|run| book.get(run.wire));
    let ends = wire.map_or([End::Free, End::Free], |w| [w.from, w.to]);
    let alone = move |id: &Id<Cavity>| {
        let one = book.index().wires_at_cavity.get(id).is_some_and(|w| w.len() == 1);
        let bridged = book.index().bridged_to.contains_key(id)
            || book
                .get(*id)
                .is_some_and(|c| matches!(c.decision, Decision::Bridged { .. }));
        one && !bridged
    };
    let cavities = ends.into_iter().filter_map(|end| match end {
        End::Cavity(id) => Some(id),
        _ => None,
    });
    cavities
        .filter(alone)
        .filter_map(|id| wiring.contacts.iter().position(|run| run.cavity == id))
}

fn shorts(see: &Snapshot, at: usize, touch: Touch) -> Result<Vec<Vec<Act>>, &'static str> {
    let run = see.wiring().wires.get(at).ok_or("the wire in the circuit")?;
    let wire: Option<&Wire> = see.book().get(run.wire);
    let ends = wire.map_or([End::Free, End::Free], |w| [w.from, w.to]);
    let mut all = Vec::new();
    for (end, node) in ends.into_iter().zip([run.from, run.to]) {
        let touched = match touch {
            Touch::Supply => place::supply(see).ok_or("a source that is always on")?,
            _ => place::chassis(see, end).ok_or("a ground stud, or a stud named as battery negative")?,
        };
        if touched.0 != node {
            all.push(vec![Act::Short(node, touched.0)]);
        }
    }
    Ok(all)
}
