//! The part of the circuit that does not depend on the operating state.

use std::collections::HashMap;

use super::{
    Node, Nodes, WireRun, contact_ohm, ohms,
    pulls::{self, PullRun},
    unit_grounds,
};
use crate::{
    Book,
    model::{
        About, Cavity, ChassisPath, Connector, Decision, Fuse, Id, Part, PartKind, Quick, Terminal, Unit,
        Wire,
    },
};

/// A link between two cavities of one connector is this long and thick, Ω (our own: 5 cm of 1 mm²).
const BRIDGE_OHM: f64 = 0.001;

/// A contact pair between the two sides of a cavity.
#[derive(Debug, Clone)]
pub struct ContactRun {
    /// The cavity.
    pub cavity: Id<Cavity>,
    /// Unit side.
    pub unit_side: Node,
    /// Wire side.
    pub wire_side: Node,
    /// Resistance, Ω.
    pub ohm: f64,
}

/// An inside part and the points its ends hang on.
#[derive(Debug, Clone)]
pub struct PartRun {
    /// The part.
    pub part: Id<Part>,
    /// Its ends, in the order of its kind's roles.
    pub ends: Vec<Node>,
    /// Its fuse's resistance, for a fuse way, Ω.
    pub fuse_ohm: f64,
    /// Ambient of its unit, °C.
    pub ambient_c: f64,
}

/// Points and what joins them whatever the state.
#[derive(Debug, Clone)]
pub struct Wiring {
    /// The points.
    pub nodes: Nodes,
    /// Wires, in order of ids.
    pub wires: Vec<WireRun>,
    /// Contacts of cavities that have a wire or a bridge.
    pub contacts: Vec<ContactRun>,
    /// Bridges between cavities: the cavity whose decision it is, two wire sides, Ω.
    pub bridges: Vec<(Id<Cavity>, Node, Node, f64)>,
    /// Chassis paths.
    pub paths: Vec<(Id<ChassisPath>, Node, Node, f64)>,
    /// Inside parts whose ends are all told.
    pub parts: Vec<PartRun>,
    pub(super) pulls: Vec<PullRun>,
    /// Cavities whose pull leads to a rail that nothing names.
    pub unplaced_pulls: Vec<Id<Cavity>>,
    /// Inside parts with too few or too many ends.
    pub crippled_parts: Vec<Id<Part>>,
    /// Each unit's own ground.
    pub grounds: HashMap<Id<Unit>, Terminal>,
    /// The point from which voltages count.
    pub reference: Option<Node>,
    wire_at: Quick<Id<Wire>, usize>,
}

impl Wiring {
    /// The wiring of a book.
    pub fn of(book: &Book) -> Self {
        let mut nodes = Nodes::default();
        couple(book, &mut nodes);
        let wires: Vec<WireRun> = book
            .all::<Wire>()
            .values()
            .map(|wire| {
                let (from, to) = (nodes.make_end(wire.from), nodes.make_end(wire.to));
                WireRun::of(book, wire, from, to)
            })
            .collect();
        let bridges = book
            .all::<Cavity>()
            .values()
            .filter_map(|cavity| match cavity.decision {
                Decision::Bridged { to } if to != cavity.id => {
                    let (one, other) = (nodes.make_wire_side(cavity.id), nodes.make_wire_side(to));
                    Some((cavity.id, one, other, BRIDGE_OHM))
                }
                _ => None,
            })
            .collect();
        let paths = book
            .all::<ChassisPath>()
            .values()
            .map(|path| {
                let ohm = path.resistance_ohm.max(ohms::LEAST_OHM);
                (path.id, nodes.make(&path.from), nodes.make(&path.to), ohm)
            })
            .collect();
        let (parts, crippled_parts) = parts(book, &mut nodes);
        let contacts = contacts(book, &mut nodes);
        let grounds = unit_grounds(book);
        let (pulls, unplaced_pulls) = pulls::pulls(book, &mut nodes, &grounds);
        let reference = reference(book).map(|terminal| nodes.make(&terminal));
        Self {
            wire_at: wires.iter().enumerate().map(|(at, run)| (run.wire, at)).collect(),
            nodes,
            wires,
            contacts,
            bridges,
            paths,
            parts,
            pulls,
            unplaced_pulls,
            crippled_parts,
            grounds,
            reference,
        }
    }

    /// The wiring of a book that differs from the one this is of by sizes and lengths of these wires alone.
    #[must_use]
    pub(crate) fn measured(&self, book: &Book, wires: impl Iterator<Item = Id<Wire>>) -> Self {
        let mut wiring = self.clone();
        for id in wires {
            let run = self.wire_at(id).and_then(|at| wiring.wires.get_mut(at));
            if let (Some(run), Some(wire)) = (run, book.get(id)) {
                *run = WireRun::of(book, wire, run.from, run.to);
            }
        }
        wiring
    }

    /// The inside parts of the circuit with their places and records, in the order of both.
    pub fn parts_of<'a>(&'a self, book: &'a Book) -> impl Iterator<Item = (usize, &'a PartRun, &'a Part)> {
        // Both are in order of ids: walked side by side, nothing is looked up.
        let mut rows = book.all::<Part>().values().peekable();
        self.parts.iter().enumerate().filter_map(move |(at, run)| {
            while rows.next_if(|part| part.id < run.part).is_some() {}
            Some((at, run, rows.next_if(|part| part.id == run.part)?))
        })
    }

    /// Both ends of each pull that a cavity's limits tell.
    pub fn pull_ends(&self) -> impl Iterator<Item = (Node, Node)> {
        self.pulls.iter().map(|run| (run.from, run.to))
    }

    /// Place of a wire in [`Wiring::wires`].
    pub fn wire_at(&self, wire: Id<Wire>) -> Option<usize> {
        self.wire_at.get(&wire).copied()
    }

    /// The point of a unit's own ground.
    pub fn ground_of(&self, unit: Id<Unit>) -> Option<Node> {
        self.nodes.terminal(self.grounds.get(&unit)?)
    }
}

/// Both halves of an inline coupling meet pin by pin.
fn couple(book: &Book, nodes: &mut Nodes) {
    let index = book.index();
    for connector in book.all::<Connector>().values() {
        let Some(other) = connector.couples_to.filter(|other| *other > connector.id) else {
            continue;
        };
        let cavities = |of| index.cavities_of.get(&of).into_iter().flatten().copied();
        for one in cavities(connector.id) {
            let number = book.get(one).map(|c: &Cavity| c.number.as_str());
            let met = cavities(other).find(|id| book.get(*id).map(|c: &Cavity| c.number.as_str()) == number);
            if let Some(met) = met {
                nodes.same_unit_side(one, met);
            }
        }
    }
}

fn contacts(book: &Book, nodes: &mut Nodes) -> Vec<ContactRun> {
    book.all::<Cavity>()
        .values()
        .filter_map(|cavity| {
            let wire_side = nodes.wire_side(cavity.id)?;
            let pair = contact_ohm(cavity.contact.and_then(|id| book.get(id)));
            let coupled = book
                .get(cavity.connector)
                .is_some_and(|c: &Connector| c.couples_to.is_some());
            Some(ContactRun {
                cavity: cavity.id,
                unit_side: nodes.make_unit_side(cavity.id),
                wire_side,
                // One pair joins two wires in a coupling; each side gets its half.
                ohm: if coupled { pair / 2.0 } else { pair },
            })
        })
        .collect()
}

fn parts(book: &Book, nodes: &mut Nodes) -> (Vec<PartRun>, Vec<Id<Part>>) {
    let (mut runs, mut crippled) = (Vec::new(), Vec::new());
    for part in book.all::<Part>().values() {
        let ends: Vec<Node> = part.ends.iter().map(|end| nodes.make(end)).collect();
        if ends.len() != part.kind.roles().len() {
            crippled.push(part.id);
            continue;
        }
        let fuse = match part.kind {
            PartKind::FuseWay { fuse } => book.get(fuse),
            _ => None,
        };
        let zone = book.get(part.unit).and_then(|u: &Unit| u.zone);
        runs.push(PartRun {
            part: part.id,
            ends,
            fuse_ohm: fuse.map_or(ohms::LEAST_OHM, |f: &Fuse| ohms::fuse_ohm(f)),
            ambient_c: zone.and_then(|z| book.get(z)?.ambient_c).unwrap_or(ohms::ROOM_C),
        });
    }
    (runs, crippled)
}

/// The point voltages count from: the one the book names, else the minus post of a source that follows the supply.
pub(super) fn reference(book: &Book) -> Option<Terminal> {
    let about = book.all::<About>().values().next();
    about
        .and_then(|a| a.reference)
        .map(Terminal::Junction)
        .or_else(|| {
            book.all::<Part>().values().find_map(|part| match part.kind {
                PartKind::Source { volts_v: None, .. } => part.ends.get(1).cloned(),
                _ => None,
            })
        })
}
