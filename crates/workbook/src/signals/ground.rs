//! Which nets are ground, and which ground a signal is measured against.

use std::collections::{HashMap, HashSet};

use super::{JOINT_OHM, NetId, Nets};
use crate::{
    Book,
    model::{
        About, Cavity, ChassisPath, Id, Junction, JunctionKind, OutputSide, Part, PartKind, SignalKind,
        Terminal, Unit,
    },
};

impl Nets {
    /// Nets that reach the reference, a ground stud or a source's minus through wires, chassis and joints alone.
    pub fn grounds(&self, book: &Book) -> HashSet<NetId> {
        let mut ground: HashSet<NetId> = HashSet::new();
        let mut open: Vec<NetId> = Vec::new();
        let reference = book.all::<About>().values().filter_map(|a| a.reference);
        let studs = book
            .all::<Junction>()
            .values()
            .filter(|j| j.kind == JunctionKind::GroundStud)
            .map(|j| j.id);
        let posts = reference.chain(studs).map(Terminal::Junction);
        let returns = book
            .all::<Cavity>()
            .values()
            .filter(|c| c.kind == Some(SignalKind::SensorReturn))
            .map(|c| Terminal::Cavity(c.id));
        for terminal in posts.chain(returns) {
            open.extend(self.at(&terminal));
        }
        let mut over_chassis: HashMap<NetId, Vec<NetId>> = HashMap::new();
        for path in book.all::<ChassisPath>().values() {
            if let (Some(from), Some(to)) = (self.at(&path.from), self.at(&path.to)) {
                over_chassis.entry(from).or_default().push(to);
                over_chassis.entry(to).or_default().push(from);
            }
        }
        while let Some(at) = open.pop() {
            if !ground.insert(at) {
                continue;
            }
            open.extend(over_chassis.get(&at).into_iter().flatten());
            for (id, _) in self.get(at).map(|n| n.parts.as_slice()).unwrap_or_default() {
                if let Some(Part {
                    kind: PartKind::Resistor { ohm },
                    ends,
                    ..
                }) = book.get(*id)
                    && *ohm <= JOINT_OHM
                    && let [one, other] = ends.as_slice()
                {
                    open.extend(self.across(at, one, other));
                }
            }
        }
        ground
    }

    fn across(&self, at: NetId, one: &Terminal, other: &Terminal) -> Option<NetId> {
        let (one, other) = (self.at(one), self.at(other));
        if one == Some(at) {
            other
        } else if other == Some(at) {
            one
        } else {
            None
        }
    }
}

/// The terminals that a source's level is measured against: the minus, return or ground end of the part that gives it,
/// else the grounds and returns among its unit's cavities.
pub(super) fn reference(book: &Book, source: Source, grounds: &mut UnitGrounds) -> Vec<Terminal> {
    match source {
        Source::Part(id) => book.get(id).and_then(low_end).into_iter().cloned().collect(),
        Source::Cavity(id) => {
            let part = book
                .index()
                .parts_at
                .get(&Terminal::Cavity(id))
                .into_iter()
                .flatten()
                .filter_map(|(part, place)| book.get(*part).filter(|p| high_end(p) == Some(*place)))
                .find_map(low_end);
            match part {
                Some(end) => vec![end.clone()],
                None => grounds.of(book, id).to_vec(),
            }
        }
    }
}

/// What gives a signal.
#[derive(Debug, Clone, Copy)]
pub(super) enum Source {
    Cavity(Id<Cavity>),
    Part(Id<Part>),
}

fn low_end(part: &Part) -> Option<&Terminal> {
    let place = match &part.kind {
        PartKind::Source { .. } | PartKind::Reference { .. } => 1,
        PartKind::Output {
            side: OutputSide::PushPull,
            ..
        } => 2,
        PartKind::Output {
            side: OutputSide::LowSide | OutputSide::OpenCollector,
            ..
        }
        | PartKind::Ratiometric { .. } => 1,
        PartKind::Potentiometer { .. } => 0,
        _ => return None,
    };
    part.ends.get(place)
}

fn high_end(part: &Part) -> Option<usize> {
    match &part.kind {
        PartKind::Source { .. } | PartKind::Reference { .. } => Some(0),
        PartKind::Output {
            side: OutputSide::HighSide,
            ..
        } => Some(1),
        PartKind::Output { .. } => Some(0),
        PartKind::Ratiometric { .. } | PartKind::Potentiometer { .. } => Some(2),
        _ => None,
    }
}

/// The grounds of units as their cavities' signals are measured against, each sought once; whether a sensor's supply is asked
/// about.
#[derive(Default)]
pub(super) struct UnitGrounds(HashMap<(Id<Unit>, bool), Vec<Terminal>>);

impl UnitGrounds {
    fn of(&mut self, book: &Book, source: Id<Cavity>) -> &[Terminal] {
        let cavity = book.get(source);
        let Some(unit) = cavity.and_then(|c| book.get(c.connector)).map(|c| c.unit) else {
            return &[];
        };
        let is_sensor = cavity.is_some_and(|c| {
            matches!(
                c.kind,
                Some(SignalKind::SensorSupply | SignalKind::AnalogueOut | SignalKind::PotWiper)
            )
        });
        let known = self.0.entry((unit, is_sensor));
        known.or_insert_with(|| unit_grounds(book, unit, is_sensor))
    }
}

fn unit_grounds(book: &Book, unit: Id<Unit>, is_sensor: bool) -> Vec<Terminal> {
    let connectors = book.index().connectors_of.of(&unit);
    let mut grounds: Vec<&Cavity> = connectors
        .iter()
        .flat_map(|connector| book.cavities_of(*connector))
        .filter(|c| matches!(c.kind, Some(SignalKind::Ground | SignalKind::SensorReturn)))
        .collect();
    // A signal of a sensor's supply is measured against the sensor's return, where the unit has one.
    let returns = |c: &&Cavity| c.kind == Some(SignalKind::SensorReturn);
    if is_sensor && grounds.iter().any(returns) {
        grounds.retain(returns);
    }
    grounds.into_iter().map(|c| Terminal::Cavity(c.id)).collect()
}
