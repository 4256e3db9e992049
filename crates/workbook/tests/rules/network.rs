//! One network with a fault, made and solved from nothing.

use super::*;

fn may(level: Reads) -> May {
    (level != Reads::Off, level != Reads::On)
}

/// One network, made and solved from nothing, with these movers on.
pub fn solve(with: &With, on: &[Id<Part>], blown: &[Id<Fuse>]) -> Seen {
    let With {
        book, wiring, ready, ..
    } = with;
    let told = |part: Id<Part>, is: bool| PartSetting {
        part,
        position: if is { PartPosition::On } else { PartPosition::Off },
        assumed: false,
    };
    let coils = || {
        book.all::<Part>()
            .values()
            .filter(|p| matches!(p.kind, PartKind::Coil { .. }))
    };
    let state = State {
        id: Id::from_bits(1),
        label: String::new(),
        order: 0,
        words: String::new(),
        supply_v: None,
        switches: Vec::new(),
        parts: movers(book)
            .map(|p| told(p.id, on.contains(&p.id)))
            .chain(coils().map(|p| told(p.id, false)))
            .collect(),
    };
    let mut upset = with.upset.clone();
    for fuse in blown {
        let (wires, parts) = fuse_places(with, *fuse);
        upset.open_wires.extend(wires);
        upset.open_parts.extend(parts);
    }
    let supply_v = book.all::<About>().values().next().unwrap().supply.nominal_v;
    let stands = Stands::of(book, &state);
    let mut ready = ready.borrow_mut();
    let found = ready.operate_upset(
        &Given {
            book,
            wiring,
            stands: &stands,
            supply_v,
        },
        &upset,
        with.copper.clone(),
    );
    let between = |a: Node, b: Node| found.as_ref().ok().and_then(|o| o.between(a, b));
    let unsolved = found.is_err();
    let mut cavities = HashMap::new();
    for (cavity, limits, node, ground) in &with.reading {
        let level = reads(limits, between(*node, *ground)).unwrap();
        cavities.insert(*cavity, may(level));
    }
    let mut coil_levels = HashMap::new();
    let mut fuse_a = HashMap::new();
    for (place, run) in wiring.parts.iter().enumerate() {
        match book.get(run.part).unwrap().kind {
            PartKind::Coil {
                pull_in_v: Some(pull_in),
                drop_out_v: Some(drop_out),
                ..
            } => {
                let hot = copper_factor(run.ambient_c);
                let v = between(run.ends[0], run.ends[1]).unwrap_or(0.0).abs();
                let (pulls, drops) = (v >= pull_in * hot, v < drop_out * hot);
                let feed = Feed {
                    pulls: unsolved || pulls,
                    between: unsolved || !pulls && !drops,
                    drops: unsolved || drops,
                };
                coil_levels.insert(run.part, feed);
            }
            PartKind::FuseWay { fuse } => {
                fuse_a.insert(fuse, found.as_ref().map_or(0.0, |o| o.part_a(place).abs()));
            }
            _ => {}
        }
    }
    for (at, run) in wiring.wires.iter().enumerate() {
        if let Some((fuse, _)) = run.fuse {
            fuse_a.insert(fuse, found.as_ref().map_or(0.0, |o| o.wire_a(at).abs()));
        }
    }
    Seen {
        cavities,
        coils: coil_levels,
        fuse_a,
    }
}

/// A cavity that reads on or off, by its voltage here against there.
pub type Reading = (Id<Cavity>, Limits, Node, Node);

/// Those of a book.
pub fn reading(book: &Book, wiring: &Wiring) -> Vec<Reading> {
    let of = |cavity: &Cavity| {
        let unit = book.get(cavity.connector).unwrap().unit;
        let node = wiring.nodes.unit_side(cavity.id);
        let node = node.or_else(|| wiring.nodes.wire_side(cavity.id))?;
        reads(&cavity.limits, None)?;
        Some((cavity.id, cavity.limits, node, wiring.ground_of(unit)?))
    };
    book.all::<Cavity>().values().filter_map(of).collect()
}

pub(super) fn fuse_places(with: &With, fuse: Id<Fuse>) -> (Vec<usize>, Vec<usize>) {
    let wires = with.wiring.wires.iter().enumerate();
    let inline = wires
        .filter(|(_, run)| run.fuse.is_some_and(|(f, _)| f == fuse))
        .map(|(at, _)| at);
    let parts = with.wiring.parts.iter().enumerate();
    let is = |part| matches!(with.book.get(part).map(|p: &Part| &p.kind), Some(PartKind::FuseWay { fuse: f }) if *f == fuse);
    (
        inline.collect(),
        parts.filter(|(_, run)| is(run.part)).map(|(at, _)| at).collect(),
    )
}

pub(super) fn end_node(with: &With, end: End2) -> Node {
    match end {
        End2::Cavity(c) => with.wiring.nodes.wire_side(c).unwrap(),
        End2::Junction(j) => with.wiring.nodes.junction(j).unwrap(),
        End2::Free => panic!("a free end"),
    }
}

/// The ground stud of an end's zone, or the first.
pub(super) fn stud(with: &With, end: End2) -> Node {
    let book = &with.book;
    let zone = match end {
        End2::Cavity(c) => {
            let connector = book.get(book.get(c).unwrap().connector).unwrap();
            book.get(connector.unit).unwrap().zone
        }
        End2::Junction(j) => book.get(j).unwrap().zone,
        End2::Free => None,
    };
    let mut studs: Vec<&Junction> = book
        .all::<Junction>()
        .values()
        .filter(|j| j.kind == JunctionKind::GroundStud)
        .collect();
    studs.sort_by_key(|j| (zone.is_none() || j.zone != zone, j.label.clone()));
    with.wiring.nodes.junction(studs[0].id).unwrap()
}
