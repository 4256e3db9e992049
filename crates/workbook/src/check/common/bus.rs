//! CAN buses: what hangs together, and where their ends are.

use std::collections::{BTreeSet, HashMap};

use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Part, PartKind, SignalKind, Terminal, Unit, Wire},
    signals::{JOINT_OHM, NetId},
};

/// One bus.
#[derive(Debug)]
pub struct Bus {
    /// Its CAN H cavities.
    pub cavities: Vec<Id<Cavity>>,
    /// Units on it.
    pub units: BTreeSet<Id<Unit>>,
    /// Its terminators.
    pub terminators: Vec<Id<Part>>,
    /// Across the pair, Ω.
    pub ohm: f64,
    /// An H cavity and an L cavity that are joined.
    pub crossed: Option<(Id<Cavity>, Id<Cavity>)>,
    nets: BTreeSet<NetId>,
}

/// The way between the two end terminators.
pub struct Trunk {
    /// The terminators at its ends.
    pub ends: [Id<Part>; 2],
    /// From one to the other, m.
    pub length_m: f64,
    /// How far each H cavity hangs off it, m.
    pub stubs: Vec<(Id<Cavity>, f64)>,
}

/// Every bus that joins at least two units.
pub(crate) fn buses(see: &Snapshot) -> Vec<Bus> {
    let book = see.book();
    let nets = &see.signals().nets;
    let of_kind = |kind: SignalKind| {
        book.all::<Cavity>()
            .values()
            .filter(move |c| c.kind == Some(kind))
            .filter_map(|c| Some((c.id, nets.at_cavity(c.id)?)))
    };
    let highs: Vec<(Id<Cavity>, NetId)> = of_kind(SignalKind::CanHigh).collect();
    if highs.is_empty() {
        return Vec::new();
    }
    let lows: HashMap<NetId, Id<Cavity>> = of_kind(SignalKind::CanLow).map(|(c, n)| (n, c)).collect();
    let parts = book.all::<Part>().values();
    let ends: Vec<&Part> = parts
        .filter(|p| matches!(p.kind, PartKind::Terminator { .. }))
        .collect();
    let mut seen: BTreeSet<NetId> = BTreeSet::new();
    let mut all = Vec::new();
    for (_, start) in &highs {
        if seen.contains(start) {
            continue;
        }
        let group = joined(see, *start);
        seen.extend(&group);
        let on_it = highs.iter().filter(|(_, net)| group.contains(net));
        let cavities: Vec<Id<Cavity>> = on_it.map(|(id, _)| *id).collect();
        let units: BTreeSet<Id<Unit>> = cavities.iter().filter_map(|c| see.unit_of(*c)).collect();
        if units.len() < 2 {
            continue;
        }
        let terminator = |p: &&&Part| {
            let mut at = p.ends.iter().filter_map(|end| nets.at(end));
            at.any(|net| group.contains(&net))
        };
        let terminators: Vec<&Part> = ends.iter().filter(terminator).copied().collect();
        let siemens: f64 = terminators
            .iter()
            .map(|p| match p.kind {
                PartKind::Terminator { ohm } if ohm > 0.0 => 1.0 / ohm,
                _ => 0.0,
            })
            .sum();
        let crossed = group.iter().find_map(|net| {
            let low = lows.get(net)?;
            let high = cavities
                .iter()
                .find(|c| nets.at_cavity(**c) == Some(*net))
                .or(cavities.first())?;
            Some((*high, *low))
        });
        all.push(Bus {
            units,
            terminators: terminators.iter().map(|p| p.id).collect(),
            ohm: 1.0 / siemens,
            crossed,
            cavities,
            nets: group,
        });
    }
    all
}

/// Nets that joints inside units (a pass-through) make one.
fn joined(see: &Snapshot, start: NetId) -> BTreeSet<NetId> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let mut group = BTreeSet::new();
    let mut open = vec![start];
    while let Some(at) = open.pop() {
        if !group.insert(at) {
            continue;
        }
        for (part, _) in nets.get(at).into_iter().flat_map(|net| &net.parts) {
            if let Some(Part {
                kind: PartKind::Resistor { ohm },
                ends,
                ..
            }) = book.get(*part)
                && *ohm <= JOINT_OHM
            {
                open.extend(ends.iter().filter_map(|end| nets.at(end)));
            }
        }
    }
    group
}

impl Bus {
    /// The terminators that do not stand at the two ends: the ends are the pair that is farthest apart along the wires.
    pub fn surplus(&self, see: &Snapshot) -> Vec<Id<Part>> {
        let mut farthest: Option<(f64, Id<Part>, Id<Part>)> = None;
        for (at, one) in self.terminators.iter().enumerate() {
            let lengths = self.lengths(see, *one);
            for other in self.terminators.iter().skip(at + 1) {
                let length_m = self
                    .high_end(see, *other)
                    .and_then(|end| lengths.get(&end).copied());
                let length_m = length_m.unwrap_or(0.0);
                if farthest.is_none_or(|(most_m, ..)| length_m > most_m) {
                    farthest = Some((length_m, *one, *other));
                }
            }
        }
        let ends = farthest.map_or(Vec::new(), |(_, one, other)| vec![one, other]);
        self.terminators
            .iter()
            .copied()
            .filter(|p| !ends.contains(p))
            .collect()
    }

    /// Length from one end terminator to the other, and how far each unit hangs off that way, m; none: fewer than two
    /// terminators.
    pub fn trunk(&self, see: &Snapshot) -> Option<Trunk> {
        let surplus = self.surplus(see);
        let mut ends = self.terminators.iter().copied().filter(|p| !surplus.contains(p));
        let (one, other) = (ends.next()?, ends.next()?);
        let (from_one, from_other) = (self.lengths(see, one), self.lengths(see, other));
        let length_m = *from_one.get(&self.high_end(see, other)?)?;
        let stubs = self.cavities.iter().filter_map(|id| {
            let at = Terminal::Cavity(*id);
            let way_m = from_one.get(&at)? + from_other.get(&at)? - length_m;
            Some((*id, (way_m / 2.0).max(0.0)))
        });
        Some(Trunk {
            ends: [one, other],
            length_m,
            stubs: stubs.collect(),
        })
    }

    /// The wires of its H side.
    pub fn wires(&self, see: &Snapshot) -> Vec<Id<Wire>> {
        let nets = &see.signals().nets;
        self.nets
            .iter()
            .filter_map(|id| nets.get(*id))
            .flat_map(|net| net.wires.clone())
            .collect()
    }

    /// A terminator's end on the H side.
    fn high_end(&self, see: &Snapshot, terminator: Id<Part>) -> Option<Terminal> {
        let part: &Part = see.book().get(terminator)?;
        let on_bus = |end: &&Terminal| {
            see.signals()
                .nets
                .at(end)
                .is_some_and(|net| self.nets.contains(&net))
        };
        part.ends.iter().find(on_bus).cloned()
    }

    /// Length of wire from a terminator to every terminal of the bus, m.
    fn lengths(&self, see: &Snapshot, from: Id<Part>) -> HashMap<Terminal, f64> {
        let book = see.book();
        let nets = &see.signals().nets;
        let mut steps: HashMap<Terminal, Vec<(Terminal, f64)>> = HashMap::new();
        let mut link = |a: Terminal, b: Terminal, m: f64| {
            steps.entry(a.clone()).or_default().push((b.clone(), m));
            steps.entry(b).or_default().push((a, m));
        };
        for net in self.nets.iter().filter_map(|id| nets.get(*id)) {
            for wire in net.wires.iter().filter_map(|w| book.get::<Wire>(*w)) {
                let terminal = |end| match end {
                    crate::model::End::Cavity(id) => Some(Terminal::Cavity(id)),
                    crate::model::End::Junction(id) => Some(Terminal::Junction(id)),
                    crate::model::End::Free => None,
                };
                if let (Some(a), Some(b)) = (terminal(wire.from), terminal(wire.to)) {
                    link(a, b, wire.length_m.unwrap_or(0.0));
                }
            }
            for (part, _) in &net.parts {
                if let Some(Part {
                    kind: PartKind::Resistor { .. },
                    ends,
                    ..
                }) = book.get(*part)
                    && let [a, b] = ends.as_slice()
                {
                    link(a.clone(), b.clone(), 0.0);
                }
            }
        }
        let mut lengths = HashMap::new();
        let mut open: Vec<(Terminal, f64)> = self
            .high_end(see, from)
            .map(|end| (end, 0.0))
            .into_iter()
            .collect();
        // A bus is a tree: the first way to a terminal is its only one.
        while let Some((at, m)) = open.pop() {
            if lengths.contains_key(&at) {
                continue;
            }
            for (next, more) in steps.get(&at).into_iter().flatten() {
                open.push((next.clone(), m + more));
            }
            lengths.insert(at, m);
        }
        lengths
    }
}
