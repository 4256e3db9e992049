//! Ways through the loom from one place to another, and what a meter should show along them.

use std::collections::{HashMap, VecDeque};

use crimpbook_core::conductor::{OhmWindow, WireOhms, ohm_per_m_20};

use super::test::{Expected, METER_OHM};
use crate::{
    Book,
    circuit::{contact_ohm, fuse_ohm, joint_ohm, size_of, table_of},
    model::{Cavity, ChassisPath, Connector, Decision, End, Id, Junction, Part, PartKind, Terminal, Wire},
    signals::JOINT_OHM,
};

/// What leads from one place to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Link {
    Wire(Id<Wire>),
    /// A bridge between cavities, or the two halves of a coupling.
    Pins(Id<Cavity>, Id<Cavity>),
    Path(Id<ChassisPath>),
    /// A joint inside a unit.
    Joint(Id<Part>),
}

/// All links of a loom, by their ends.
#[derive(Debug, Default)]
pub(super) struct Ways {
    links: HashMap<Terminal, Vec<(Terminal, Link)>>,
}

/// What leads on, beyond wires and bridges.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Through {
    /// Chassis paths.
    pub chassis: bool,
    /// Joints inside units, as in a bus that passes through.
    pub joints: bool,
}

impl Ways {
    pub fn of(book: &Book, through: Through) -> Self {
        let mut ways = Self::default();
        for wire in book.all::<Wire>().values() {
            if let (Some(a), Some(b)) = (wire.from.terminal(), wire.to.terminal()) {
                ways.join(a, b, Link::Wire(wire.id));
            }
        }
        for cavity in book.all::<Cavity>().values() {
            if let Decision::Bridged { to } = cavity.decision {
                ways.pins(cavity.id, to);
            }
        }
        for half in book.all::<Connector>().values() {
            let Some(other) = half.couples_to.filter(|other| *other > half.id) else {
                continue;
            };
            for one in book.cavities_of(half.id) {
                let met = book.cavities_of(other);
                if let Some(met) = met.iter().find(|c| c.number.eq_ignore_ascii_case(&one.number)) {
                    ways.pins(one.id, met.id);
                }
            }
        }
        if through.chassis {
            for path in book.all::<ChassisPath>().values() {
                ways.join(path.from.clone(), path.to.clone(), Link::Path(path.id));
            }
        }
        if through.joints {
            for part in book.all::<Part>().values() {
                if let (PartKind::Resistor { ohm }, [a, b]) = (&part.kind, part.ends.as_slice())
                    && *ohm <= JOINT_OHM
                {
                    ways.join(a.clone(), b.clone(), Link::Joint(part.id));
                }
            }
        }
        ways
    }

    fn pins(&mut self, one: Id<Cavity>, other: Id<Cavity>) {
        let link = Link::Pins(one, other);
        self.join(Terminal::Cavity(one), Terminal::Cavity(other), link);
    }

    fn join(&mut self, a: Terminal, b: Terminal, link: Link) {
        self.links.entry(a.clone()).or_default().push((b.clone(), link));
        self.links.entry(b).or_default().push((a, link));
    }

    /// Every place that hangs together with `root`, with the shortest way to it.
    pub fn from(&self, root: &Terminal) -> HashMap<Terminal, Vec<Link>> {
        let mut found = HashMap::from([(root.clone(), Vec::new())]);
        let mut open = VecDeque::from([root.clone()]);
        while let Some(at) = open.pop_front() {
            let so_far = found.get(&at).cloned().unwrap_or_default();
            for (next, link) in self.links.get(&at).into_iter().flatten() {
                if !found.contains_key(next) {
                    let mut way = so_far.clone();
                    way.push(*link);
                    found.insert(next.clone(), way);
                    open.push_back(next.clone());
                }
            }
        }
        found
    }
}

/// The wires of a way.
pub(super) fn wires(way: &[Link]) -> Vec<Id<Wire>> {
    way.iter()
        .filter_map(|link| match link {
            Link::Wire(id) => Some(*id),
            _ => None,
        })
        .collect()
}

/// What a meter should show along a way, its leads taken off.
pub(super) fn expected(book: &Book, way: &[Link]) -> Expected {
    let (mut least, mut most) = (0.0, 0.0);
    for link in way {
        match ohms(book, *link) {
            Ok(window) => {
                least += window.least_ohm;
                most += window.most_ohm;
            }
            Err(missing) => return Expected::CannotTell(missing),
        }
    }
    Expected::within((least - METER_OHM).max(0.0), most + METER_OHM)
}

/// What a meter should show along one link, Ω.
pub(super) fn ohms(book: &Book, link: Link) -> Result<OhmWindow, String> {
    let most = |most_ohm| OhmWindow {
        least_ohm: 0.0,
        most_ohm,
    };
    match link {
        Link::Wire(id) => book.get(id).map_or(Ok(most(0.0)), |wire| wire_window(book, wire)),
        Link::Pins(one, other) => Ok(most(contact_at(book, one) + contact_at(book, other))),
        Link::Path(id) => Ok(most(book.get(id).map_or(0.0, |p: &ChassisPath| p.resistance_ohm))),
        Link::Joint(_) => Ok(most(JOINT_OHM)),
    }
}

/// What a meter should show end to end of a wire with its contacts, joints and inline fuse, Ω.
///
/// # Errors
/// What is missing of it.
pub(super) fn wire_window(book: &Book, wire: &Wire) -> Result<OhmWindow, String> {
    let Some(size) = size_of(wire) else {
        return Err(format!("missing the size of {}", wire.label));
    };
    let Some(length_m) = wire.length_m.filter(|m| m.is_finite() && *m > 0.0) else {
        return Err(format!("missing the length of {}", wire.label));
    };
    let ohms = WireOhms {
        area_mm2: size.area_mm2(),
        ohm_per_m_20: ohm_per_m_20(&size, table_of(book, wire)).ohm_per_m,
        length_m,
        contacts_ohm: contacts_of(book, wire),
    };
    Ok(ohms.window())
}

/// The limits of what is crimped, joined and plugged at a wire's ends and in it, Ω together.
pub(super) fn contacts_of(book: &Book, wire: &Wire) -> f64 {
    let at = |end| match end {
        End::Cavity(id) => contact_at(book, id),
        End::Junction(id) => joint_ohm(book.get::<Junction>(id)),
        End::Free => 0.0,
    };
    let fuse = wire.inline_fuse.and_then(|inline| book.get(inline.fuse));
    at(wire.from) + at(wire.to) + fuse.map_or(0.0, fuse_ohm)
}

fn contact_at(book: &Book, cavity: Id<Cavity>) -> f64 {
    let family = book.get(cavity).and_then(|c: &Cavity| c.contact);
    contact_ohm(family.and_then(|f| book.get(f)))
}
