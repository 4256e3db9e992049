//! What a chafed wire touches.

use crate::{
    analysis::{Snapshot, heat::zone_at, protect::FuseAt},
    book::natural,
    circuit::Node,
    model::{End, Junction, JunctionKind, PartKind},
};

/// Chassis near an end: a ground stud of its zone, else the first ground stud, else battery negative; and its name.
pub(crate) fn chassis(see: &Snapshot, end: End) -> Option<(Node, String)> {
    let (book, nodes) = (see.book(), &see.wiring().nodes);
    let zone = zone_at(book, end);
    let mut studs: Vec<&Junction> = book.all::<Junction>().values().collect();
    studs.retain(|j| j.kind == JunctionKind::GroundStud && nodes.junction(j.id).is_some());
    studs.sort_by_cached_key(|j| (zone.is_none() || j.zone != zone, natural(&j.label)));
    let stud = studs
        .first()
        .and_then(|j| Some((nodes.junction(j.id)?, j.label.clone())));
    stud.or_else(|| Some((see.wiring().reference?, "battery negative".to_owned())))
}

/// The unswitched supply that runs through the loom: behind the first fuse of the source that is always on, else that
/// source's own plus; and its name.
pub(crate) fn supply(see: &Snapshot) -> Option<(Node, String)> {
    let (book, wiring, protection) = (see.book(), see.wiring(), see.protection());
    let always = |at: usize| {
        let kind = wiring
            .parts
            .get(at)
            .and_then(|run| book.get(run.part))
            .map(|p| &p.kind);
        matches!(
            kind,
            Some(PartKind::Source {
                volts_v: None,
                switched: false,
                ..
            })
        )
    };
    let first = protection
        .zones
        .iter()
        .find(|z| z.above.is_none() && always(z.source));
    let behind = first.and_then(|zone| {
        let node = match zone.at {
            FuseAt::Part(at) => *wiring.parts.get(at)?.ends.get(1)?,
            FuseAt::Wire(at) => {
                let feed = (*protection.wires.get(at)?)?;
                let run = wiring.wires.get(at)?;
                if feed.enters_from { run.to } else { run.from }
            }
        };
        Some((node, format!("the supply behind {}", book.label_of(zone.fuse))))
    });
    behind.or_else(|| {
        let at = (0..wiring.parts.len()).find(|at| always(*at))?;
        let run = wiring.parts.get(at)?;
        Some((*run.ends.first()?, format!("plus of {}", book.label_of(run.part))))
    })
}
